// SPDX-License-Identifier: MIT
#include "tools/damper/command_line.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/nearest_word.hpp"
#include "libdamper/describe/read_cause.hpp"
#include "libdamper/measures/known_measures.hpp"
#include "libdamper/quantity/read_quantity.hpp"

#include "tools/damper/built_in.hpp"
#include "tools/damper/locate.hpp"
#include "tools/damper/terminal.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace damper::command {

namespace {

std::vector<std::string> option_names(const CLI::App& app) {
    std::vector<std::string> names;
    for (const CLI::Option* option : app.get_options()) {
        for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
    }
    return names;
}

/// The parser's own complaint about an unknown option comes last and names no neighbour.
void refuse_unknown_options(const CLI::App& app, const Words& words) {
    for (const std::string& word : words) {
        if (word == "--") return;
        if (word.size() < 2 || word[0] != '-') continue;
        const bool number =
            std::isdigit(static_cast<unsigned char>(word[1])) != 0 || word[1] == '.';
        if (number) continue;
        const bool is_long = word[1] == '-';
        const std::string name = is_long ? word.substr(0, word.find('=')) : word.substr(0, 2);
        if (app.get_option_no_throw(name) != nullptr) continue;
        throw InputError(
            fmt::format("unknown option {}{}", name, did_you_mean(name, option_names(app))));
    }
}

}  // namespace

std::string did_you_mean(const std::string& word, const std::vector<std::string>& candidates) {
    const std::string nearest = nearest_word(word, candidates);
    return nearest.empty() ? "" : fmt::format("; did you mean {}?", nearest);
}

bool read_words(CLI::App& app, const Words& words) {
    refuse_unknown_options(app, words);
    Words reversed(words.rbegin(), words.rend());  // the order in which the parser takes them
    try {
        app.parse(reversed);
    } catch (const CLI::CallForHelp&) {
        print_result(app.help());
        return false;
    } catch (const CLI::ParseError& error) {
        throw InputError(
            fmt::format("{}\n    Usage and an example: {} --help", error.what(), app.get_name()));
    }
    return true;
}

void DescriptionOptions::tie_to(CLI::App& app) {
    app.add_option("--cause", cause,
                   "Change the vehicle by a cause under its name; may be repeated")
        ->type_name("NAME")
        ->allow_extra_args(false);
    app.add_option("--set", set, "Override one value of the description; may be repeated")
        ->type_name("KEY=VALUE")
        ->allow_extra_args(false);
    app.add_option("--models", models, "Folder of the parts (else $DAMPER_MODELS, else built in)")
        ->type_name("DIR");
}

ReadOptions DescriptionOptions::read_options() const {
    ReadOptions options{
        .models = models_folder(models), .changes = {}, .measures = known_measures()};
    for (const std::string& name : cause) {
        const std::filesystem::path file = locate(name, "causes", options.models);
        if (!std::filesystem::exists(file)) {
            const auto known = names_in(folder_of("causes", options.models));
            throw InputError(fmt::format("--cause {}: there is no such cause{}", name,
                                         did_you_mean(name, known)));
        }
        add_cause(read_cause(file), options);
    }
    for (const std::string& change : set) {
        const std::size_t equals = change.find('=');
        if (equals == std::string::npos || equals == 0) {
            throw InputError(
                fmt::format("--set {}: expected KEY=VALUE, for example "
                            "--set 'disc.stages[0].stiffness=1.2 N m/deg'",
                            change));
        }
        options.changes.emplace_back(change.substr(0, equals), change.substr(equals + 1));
    }
    return options;
}

void tie_format(CLI::App& app, std::string& format, const std::vector<std::string>& allowed) {
    app.add_option("--format", format, "Form of the result on standard output")
        ->type_name(fmt::format("{}", fmt::join(allowed, "|")))
        ->capture_default_str();
}

void require_one_of(const std::string& option, const std::string& value,
                    const std::vector<std::string>& allowed) {
    if (std::find(allowed.begin(), allowed.end(), value) != allowed.end()) return;
    throw InputError(fmt::format("{} is \"{}\"; expected {}{}", option, value,
                                 fmt::join(allowed, " or "), did_you_mean(value, allowed)));
}

double number_in(const std::string& option, const std::string& text, double low, double high) {
    double value = std::nan("");
    const char* end = text.data() + text.size();
    const auto [stopped, error] = std::from_chars(text.data(), end, value);
    if (error == std::errc{} && stopped == end && value >= low && value <= high) return value;
    throw InputError(
        fmt::format("{} is \"{}\"; expected a number from {} to {}", option, text, low, high));
}

std::int64_t whole_in(const std::string& option, const std::string& text, double low, double high) {
    const double number = number_in(option, text, low, high);
    if (number != std::floor(number)) {
        throw InputError(fmt::format("{}: found {}, expected a whole number", option, text));
    }
    return static_cast<std::int64_t>(number);
}

double quantity_in(const std::string& option, const std::string& text, const Dimension& due,
                   double low, double high, const std::string& low_text,
                   const std::string& high_text) {
    const QuantityResult result = read_quantity(text, due);
    if (const auto* fault = std::get_if<QuantityFault>(&result)) {
        throw InputError(fmt::format("{}: found {}; expected {}{}{}", option, fault->found,
                                     fault->expected, fault->mend.empty() ? "" : ". ",
                                     fault->mend));
    }
    const double value = std::get<double>(result);
    if (value >= low && value <= high) return value;
    throw InputError(
        fmt::format("{} is \"{}\"; expected {} to {}", option, text, low_text, high_text));
}

std::string as_typed(const std::string& command, const Words& words) {
    std::string line = command;
    for (const std::string& word : words) {
        const bool plain = word.find_first_of(" \t\n'\"\\$`*?[]{}()<>|&;#~!") == std::string::npos;
        line += plain && !word.empty() ? " " + word : fmt::format(" '{}'", word);
    }
    return line;
}

}  // namespace damper::command
