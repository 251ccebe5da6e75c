// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/read.hpp"
#include "libdamper/quantity/quantity.hpp"

#include <CLI/CLI.hpp>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace damper::command {

/// Words after the verb.
using Words = std::vector<std::string>;

/// "; did you mean X?" for the candidate nearest to `word`, or nothing if none is near.
[[nodiscard]] std::string did_you_mean(const std::string& word,
                                       const std::vector<std::string>& candidates);

/// Reads the words of one verb into the variables that were tied to `app`. Returns false if help
/// was asked for, which is then printed. Throws InputError for anything that does not fit, with
/// the nearest option.
[[nodiscard]] bool read_words(CLI::App& app, const Words& words);

/// The words behind `command` as they could be typed again, for the record.
[[nodiscard]] std::string as_typed(const std::string& command, const Words& words);

/// --cause, --set and --models: the same for every verb that reads descriptions.
struct DescriptionOptions {
    std::vector<std::string> cause;
    std::vector<std::string> set;
    std::string models;

    void tie_to(CLI::App& app);
    /// Reads the causes, splits each KEY=VALUE (which comes after them) and finds the models
    /// folder. Throws InputError.
    [[nodiscard]] ReadOptions read_options() const;
};

/// Ties --format to `format`, with the names allowed in its help text.
void tie_format(CLI::App& app, std::string& format, const std::vector<std::string>& allowed);

/// Throws InputError if `value` is none of `allowed`; names the option and the nearest value.
void require_one_of(const std::string& option, const std::string& value,
                    const std::vector<std::string>& allowed);

/// The number written in `text`. Throws InputError unless low ≤ number ≤ high.
[[nodiscard]] double number_in(const std::string& option, const std::string& text, double low,
                               double high);
/// The same for whole numbers.
[[nodiscard]] std::int64_t whole_in(const std::string& option, const std::string& text, double low,
                                    double high);

/// The SI value of a quantity written in `text` with its unit. Throws InputError unless it has the
/// dimension that is due and low ≤ value ≤ high; `low_text` and `high_text` are the bounds in
/// words.
[[nodiscard]] double quantity_in(const std::string& option, const std::string& text,
                                 const Dimension& due, double low, double high,
                                 const std::string& low_text, const std::string& high_text);

}  // namespace damper::command
