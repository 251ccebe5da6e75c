// SPDX-License-Identifier: MIT
#include "tools/damper/any_description.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/nearest_word.hpp"
#include "libdamper/describe/file_bytes.hpp"
#include "libdamper/describe/read_study.hpp"
#include "libdamper/parts/vehicle_fields.hpp"

#include "tools/damper/built_in.hpp"
#include "tools/damper/locate.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <set>
#include <string_view>
#include <system_error>
#include <variant>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t largest_file = std::size_t{1} << 20U;  // [bytes]
constexpr std::size_t most_proposed = 3;
constexpr std::size_t most_listed = 8;

/// First name of a line of TOML, be it a key or a table: "stages" of "[[stages]]".
std::string_view first_name(std::string_view line) {
    const std::size_t start = line.find_first_not_of(" \t[\"'");
    if (start == std::string_view::npos) return {};
    line.remove_prefix(start);
    return line.substr(0, line.find_first_of(" \t=.]\"'\r#"));
}

/// Names that a description has at its top level, without those that every one has.
std::set<std::string> top_names(std::string_view text) {
    std::set<std::string> names;
    bool in_table = false;
    for (std::size_t start = 0; start < text.size();) {
        const std::size_t end = std::min(text.find('\n', start), text.size());
        const std::string_view line = text.substr(start, end - start);
        const std::size_t ink = line.find_first_not_of(" \t");
        const bool opens = ink != std::string_view::npos && line[ink] == '[';
        in_table = in_table || opens;
        if (opens || !in_table) names.emplace(first_name(line));
        start = end + 1;
    }
    for (const char* common : {"title", "origin"}) names.erase(common);
    return names;
}

bool is_result(const fs::path& file) {
    if (file.extension() == ".h5") return true;
    const auto bytes = file_bytes(file, largest_file);
    const auto* text = std::get_if<std::string>(&bytes);
    return text != nullptr && text->starts_with("\x89HDF\r\n");
}

bool is_there(const fs::path& file) {
    std::error_code ignored;
    return fs::exists(file, ignored);
}

fs::path locate_in(const std::string& word, const std::vector<std::string>& folders,
                   const fs::path& models) {
    for (const std::string& folder : folders) {
        fs::path found = locate(word, folder, models);
        if (is_there(found)) return found;
    }
    return word;
}

/// The few names that a word was probably meant to be, nearest first.
std::vector<std::string> nearest_words(const std::string& word, std::vector<std::string> names) {
    std::vector<std::string> nearest;
    while (nearest.size() < most_proposed) {
        const std::string next = nearest_word(word, names);
        if (next.empty()) break;
        nearest.push_back(next);
        std::erase(names, next);
    }
    return nearest;
}

[[noreturn]] void refuse_missing(const std::string& word, const fs::path& models,
                                 const Wanted& wanted) {
    std::vector<std::string> known;
    for (const std::string& folder : wanted.folders) {
        if (models.empty()) break;
        for (std::string& name : names_in(folder_of(folder, models))) known.push_back(name);
    }
    // Somebody's own files lie beside the one that was meant.
    const fs::path place = fs::path(word).parent_path();
    std::vector<std::string> beside;
    for (const std::string& name : names_in(place.empty() ? fs::path(".") : place)) {
        beside.push_back((place / (name + ".toml")).string());
    }
    std::vector<std::string> near = nearest_words(word, beside);
    for (std::string& name : nearest_words(fs::path(word).stem().string(), known)) {
        if (near.size() < most_proposed) near.push_back(std::move(name));
    }
    std::string text = fmt::format("{}: no such file, and nothing built in has that name", word);
    if (models.empty()) throw InputError(text + "\n    " + no_models());
    if (!near.empty()) {
        text += fmt::format("\n    Did you mean {}?", fmt::join(near, " or "));
    } else if (!known.empty() && known.size() <= most_listed) {
        text += fmt::format("\n    There are: {}.", fmt::join(known, ", "));
    }
    throw InputError(text + "\n    What is built in: damper show");
}

[[noreturn]] void refuse_kind(const std::string& word, const FoundDescription& found,
                              const fs::path& models, const Wanted& wanted) {
    std::string text = fmt::format("{} describes {}; {} needs {}", word, found.kind->noun,
                                   wanted.verb, wanted.needs);
    if (found.kind == &study_schema()) {
        throw InputError(text +
                         "\n    A study is done by the verb that it names: damper vary, "
                         "scatter, tune or compare");
    }
    std::vector<std::string> with_it;
    if (found.kind == &schema_of<Vehicle>()) {
        const std::string name = found.file.stem().string();
        for (const BuiltIn& scenario : built_in("scenarios", models)) {
            if (scenario.detail == name && with_it.size() < most_listed)
                with_it.push_back(scenario.name);
        }
    }
    text += with_it.empty()
                ? "\n    What is built in: damper show"
                : fmt::format("\n    Scenarios with this vehicle: {}; all there are: damper show",
                              fmt::join(with_it, ", "));
    throw InputError(text);
}

}  // namespace

const PartSchema* kind_of(const fs::path& file) {
    const auto bytes = file_bytes(file, largest_file);
    const auto* text = std::get_if<std::string>(&bytes);
    if (text == nullptr) return nullptr;
    const std::set<std::string> names = top_names(*text);
    const std::array<const PartSchema*, 12> shapes{&scenario_schema(),
                                                   &schema_of<Vehicle>(),
                                                   &schema_of<Disc>(),
                                                   &schema_of<Engine>(),
                                                   &schema_of<Gearbox>(),
                                                   &schema_of<Axle>(),
                                                   &schema_of<Tyre>(),
                                                   &schema_of<Oil>(),
                                                   &schema_of<Cover>(),
                                                   &schema_of<Facing>(),
                                                   &schema_of<TwoMassFlywheel>(),
                                                   &study_schema()};
    const PartSchema* best = nullptr;
    std::ptrdiff_t most = 0;
    for (const PartSchema* shape : shapes) {
        const std::ptrdiff_t known = std::count_if(
            names.begin(), names.end(), [&](const auto& n) { return shape->find(n) != nullptr; });
        if (known == most) best = nullptr;
        if (known > most) best = shape;
        most = std::max(most, known);
    }
    return best;
}

FoundDescription find_description(const std::string& word, const fs::path& models,
                                  const Wanted& wanted) {
    FoundDescription found{locate_in(word, wanted.folders, models), nullptr};
    if (!is_there(found.file)) {
        // Under another kind of name it is at least known what the word means.
        found.file = locate_in(word,
                               {"vehicles", "discs", "scenarios", "engines", "flywheels", "covers",
                                "facings", "gearboxes", "axles", "tyres", "oils"},
                               models);
    }
    if (!is_there(found.file)) refuse_missing(word, models, wanted);
    if (is_result(found.file)) {
        throw InputError(
            fmt::format("{0} is a result; {1} needs {2}\n    Its page is written by: "
                        "damper report {0}",
                        found.file.string(), wanted.verb, wanted.needs));
    }
    found.kind = kind_of(found.file);
    const bool fits = found.kind == nullptr || std::find(wanted.kinds.begin(), wanted.kinds.end(),
                                                         found.kind) != wanted.kinds.end();
    if (!fits) refuse_kind(word, found, models, wanted);
    return found;
}

NamedDisc read_disc_of(const std::string& word, const ReadOptions& options,
                       const std::string& verb) {
    const auto [file, kind] =
        find_description(word, options.models,
                         {verb,
                          "a disc, a vehicle or a scenario",
                          {"vehicles", "discs", "scenarios"},
                          {&scenario_schema(), &schema_of<Vehicle>(), &schema_of<Disc>()}});
    const std::string name = file.stem().string();
    if (kind == &scenario_schema()) return {name, read_scenario(file, options).vehicle.disc};
    if (kind == &schema_of<Disc>()) return {name, read_disc(file, options)};
    return {name, read_vehicle(file, options).disc};
}

}  // namespace damper::command
