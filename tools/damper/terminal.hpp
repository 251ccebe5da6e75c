// SPDX-License-Identifier: MIT
#pragma once

#include <chrono>
#include <string>
#include <string_view>

namespace damper::command {

/// The text line by line as `visible_text` shows it, so that a title or a key in a file cannot
/// steer the terminal. Line ends stay.
[[nodiscard]] std::string printable(std::string_view text);

/// One message to stderr, made printable, with its line end.
void print_error(std::string_view text);

/// A result to stdout as it is, at once. Throws FileError if it cannot be written.
void print_result(std::string_view text);

/// One line on stderr that is written over and over; only on a terminal.
class ProgressLine {
  public:
    /// `wanted` false: stays silent.
    ProgressLine(std::string label, bool wanted);
    ~ProgressLine();
    ProgressLine(const ProgressLine&) = delete;
    ProgressLine& operator=(const ProgressLine&) = delete;

    void show(double share);  ///< 0…1
    /// With more to tell behind the share: "412 of 1000, 6 s left".
    void show(double share, const std::string& note);
    void clear();

  private:
    std::string label_;
    bool active_;
    bool drawn_ = false;
    std::chrono::steady_clock::time_point last_;
};

}  // namespace damper::command
