// SPDX-License-Identifier: MIT
#include "libdamper/outputs/baseline_json.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <nlohmann/json.hpp>
#include <utility>

namespace damper {

namespace {

using Json = nlohmann::ordered_json;
using Pairs = std::vector<std::pair<std::string, std::string>>;

constexpr int format_version = 1;
constexpr std::size_t numbers_a_line = 10;

std::string quoted(const std::string& text) {
    return Json(text).dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string number(double value, int digits) {
    if (!std::isfinite(value)) return "null";
    return fmt::format("{:.{}g}", value == 0.0 ? 0.0 : value, digits);
}

void put_pairs(std::string& out, const char* key, const char* first, const char* second,
               const Pairs& pairs) {
    out += fmt::format("  \"{}\": [", key);
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        out += fmt::format("{}\n    {{\"{}\": {}, \"{}\": {}}}", i == 0 ? "" : ",", first,
                           quoted(pairs[i].first), second, quoted(pairs[i].second));
    }
    out += pairs.empty() ? "],\n" : "\n  ],\n";
}

std::string numbers(const std::vector<double>& values) {
    std::string out = "[";
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (i > 0) out += i % numbers_a_line == 0 ? ",\n      " : ", ";
        out += number(values[i], 6);
    }
    return out + "]";
}

[[noreturn]] void refuse(const std::string& file, const std::string& why) {
    throw InputError(fmt::format(
        "{}: {}\n    A baseline is made with damper check --baseline DIR --update-baseline.", file,
        why));
}

/// Reads members and says which one is not as it should be.
class Reader {
  public:
    explicit Reader(std::string file) : file_(std::move(file)) {}

    const Json& at(const Json& table, const char* key) const {
        const auto found = table.find(key);
        if (found == table.end()) refuse(file_, fmt::format("\"{}\" is missing", key));
        return *found;
    }
    std::string text(const Json& table, const char* key) const {
        const Json& value = at(table, key);
        if (!value.is_string()) refuse(file_, fmt::format("\"{}\" is no text", key));
        return value.get<std::string>();
    }
    double number(const Json& value, const char* key) const {
        if (value.is_null()) return std::numeric_limits<double>::quiet_NaN();
        if (!value.is_number()) refuse(file_, fmt::format("\"{}\" is no number", key));
        return value.get<double>();
    }
    const Json& list(const Json& table, const char* key) const {
        const Json& value = at(table, key);
        if (!value.is_array()) refuse(file_, fmt::format("\"{}\" is no list", key));
        return value;
    }
    std::vector<double> series(const Json& table, const char* key) const {
        std::vector<double> out;
        for (const Json& one : list(table, key)) out.push_back(number(one, key));
        return out;
    }
    Pairs pairs(const Json& table, const char* key, const char* first, const char* second) const {
        Pairs out;
        for (const Json& one : list(table, key)) {
            check_table(one, key);
            out.emplace_back(text(one, first), text(one, second));
        }
        return out;
    }
    void check_table(const Json& value, const char* where) const {
        if (!value.is_object()) refuse(file_, fmt::format("an entry of \"{}\" is no table", where));
    }

  private:
    std::string file_;
};

std::string change_of(const BaselineMeasure& before, const BaselineMeasure& after) {
    const Shown shown = measure_shown_as(after.name, after.units,
                                         std::max(std::abs(before.value), std::abs(after.value)));
    std::string text = fmt::format("{} {} -> {}", after.name, number_text(shown.of(before.value)),
                                   with_units(number_text(shown.of(after.value)), shown.units));
    if (before.value != 0.0) {
        text += fmt::format(" ({:+.2g} %)",
                            100.0 * (after.value - before.value) / std::abs(before.value));
    }
    return text;
}

}  // namespace

std::string baseline_json(const Baseline& baseline) {
    std::string out = fmt::format(
        "{{\n  \"format\": \"damper baseline\",\n  \"format_version\": {},\n  \"scenario\": {},\n"
        "  \"title\": {},\n  \"manoeuvre\": {},\n  \"program_version\": {},\n",
        format_version, quoted(baseline.scenario), quoted(baseline.title),
        quoted(baseline.manoeuvre), quoted(baseline.program_version));
    put_pairs(out, "changes", "key", "value", baseline.changes);
    put_pairs(out, "inputs", "file", "sha256", baseline.inputs);
    out += "  \"measures\": [";
    for (std::size_t i = 0; i < baseline.measures.size(); ++i) {
        const BaselineMeasure& one = baseline.measures[i];
        out +=
            fmt::format("{}\n    {{\"name\": {}, \"units\": {}, \"value\": {}", i == 0 ? "" : ",",
                        quoted(one.name), quoted(one.units), number(one.value, 9));
        if (one.half_width > 0.0) {
            out += fmt::format(", \"half_width\": {}", number(one.half_width, 6));
        }
        out += "}";
    }
    out += baseline.measures.empty() ? "],\n" : "\n  ],\n";
    out += fmt::format("  \"time_s\": {},\n  \"signals\": [", numbers(baseline.time));
    for (std::size_t i = 0; i < baseline.signals.size(); ++i) {
        const BaselineSignal& one = baseline.signals[i];
        out += fmt::format("{}\n    {{\"name\": {}, \"units\": {}, \"values\": {}}}",
                           i == 0 ? "" : ",", quoted(one.name), quoted(one.units),
                           numbers(one.values));
    }
    out += baseline.signals.empty() ? "]\n}\n" : "\n  ]\n}\n";
    return out;
}

Baseline read_baseline(std::string_view text, const std::string& file) {
    const Json root = Json::parse(text, nullptr, false);
    if (root.is_discarded()) refuse(file, "this is no JSON text");
    if (!root.is_object() || root.value("format", Json()) != "damper baseline") {
        refuse(file, "this is no baseline");
    }
    const Reader reader(file);
    const Json& version = reader.at(root, "format_version");
    if (version != format_version) {
        refuse(file, fmt::format("version {} of the format of baselines is not known; known is {}",
                                 version.dump(-1, ' ', true, Json::error_handler_t::replace),
                                 format_version));
    }
    Baseline out;
    out.scenario = reader.text(root, "scenario");
    out.title = reader.text(root, "title");
    out.manoeuvre = reader.text(root, "manoeuvre");
    out.program_version = reader.text(root, "program_version");
    out.changes = reader.pairs(root, "changes", "key", "value");
    out.inputs = reader.pairs(root, "inputs", "file", "sha256");
    for (const Json& one : reader.list(root, "measures")) {
        reader.check_table(one, "measures");
        const bool has_width = one.contains("half_width");
        out.measures.push_back({reader.text(one, "name"), reader.text(one, "units"),
                                reader.number(reader.at(one, "value"), "value"),
                                has_width ? reader.number(one["half_width"], "half_width") : 0.0});
    }
    out.time = reader.series(root, "time_s");
    for (const Json& one : reader.list(root, "signals")) {
        reader.check_table(one, "signals");
        out.signals.push_back(
            {reader.text(one, "name"), reader.text(one, "units"), reader.series(one, "values")});
        if (out.signals.back().values.size() != out.time.size()) {
            refuse(file, fmt::format("\"{}\" has {} values at {} times", out.signals.back().name,
                                     out.signals.back().values.size(), out.time.size()));
        }
    }
    return out;
}

std::vector<std::string> baseline_changes(const Baseline& before, const Baseline& after) {
    std::vector<std::string> out;
    const auto find_in = [](const Baseline& in, const std::string& name) {
        const auto found = std::ranges::find(in.measures, name, &BaselineMeasure::name);
        return found == in.measures.end() ? nullptr : &*found;
    };
    for (const BaselineMeasure& one : after.measures) {
        const BaselineMeasure* old = find_in(before, one.name);
        if (old == nullptr) {
            out.push_back(one.name + " is new");
        } else if (number(old->value, 9) != number(one.value, 9)) {
            out.push_back(change_of(*old, one));
        }
    }
    for (const BaselineMeasure& one : before.measures) {
        if (find_in(after, one.name) == nullptr) out.push_back(one.name + " is gone");
    }
    if (before.time.size() != after.time.size()) {
        out.push_back(
            fmt::format("signals: {} samples -> {}", before.time.size(), after.time.size()));
    } else {
        for (const BaselineSignal& one : after.signals) {
            const auto old = std::ranges::find(before.signals, one.name, &BaselineSignal::name);
            if (old == before.signals.end() || numbers(old->values) != numbers(one.values)) {
                out.push_back("signal " + one.name);
            }
        }
    }
    if (out.empty()) out.emplace_back("origin only: files, their digests or the program's version");
    return out;
}

}  // namespace damper
