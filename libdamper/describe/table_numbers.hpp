// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace damper {

/// What is wrong with the text of a number in a table, in the words of a Finding.
struct NumberFault {
    std::string found;
    std::string expected;
    std::string mend;
};

/// Collects how the numbers of a table are written, before any of them is read.
///
/// A comma or point inside a number is either its decimal sign or groups its thousands. It is taken
/// as decimal sign only if some number of the table cannot be grouped: "0,123", "12,5", "1234,500".
class DecimalSign {
  public:
    /// Looks at one cell. `line` is kept for the message.
    void look_at(std::string_view cell, int line);

    /// The sign, or what is needed to tell. A table of whole numbers has a point.
    struct Answer {
        char sign = '.';
        std::optional<NumberFault> fault;
        int line = 0;           ///< Where the fault shows.
        bool in_doubt = false;  ///< It is that the sign may be either.
    };
    [[nodiscard]] Answer answer() const;

  private:
    struct Seen {
        int line = 0;          ///< First number that has the sign; 0: none.
        std::string text;      ///< That number.
        bool certain = false;  ///< Some number has it as its decimal sign for certain.
    };
    Seen comma_, point_;
    int grouped_line_ = 0;  ///< First number that must have grouped thousands.
    std::string grouped_;
};

/// Reads one number, written with `decimal`. The value, or what is wrong.
struct TableNumber {
    double value = 0.0;
    std::optional<NumberFault> fault;
};
[[nodiscard]] TableNumber table_number(std::string_view cell, char decimal);

/// Whether a cell begins like a number, so that it is no name or unit.
[[nodiscard]] bool begins_as_number(std::string_view cell);

}  // namespace damper
