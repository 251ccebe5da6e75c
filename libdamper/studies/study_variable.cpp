// SPDX-License-Identifier: MIT
#include "libdamper/studies/study_variable.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/change.hpp"
#include "libdamper/describe/resolved.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <optional>
#include <string_view>
#include <variant>
#include <vector>

namespace damper {

namespace {

constexpr int most_levels = 1000;
constexpr int usual_levels = 5;
constexpr std::string_view times = "times ";

std::string trimmed(std::string_view text) {
    const std::size_t first = text.find_first_not_of(" \t");
    if (first == std::string_view::npos) return "";
    return std::string(text.substr(first, text.find_last_not_of(" \t") - first + 1));
}

std::vector<std::string> split(std::string_view text, char mark) {
    std::vector<std::string> parts;
    for (std::size_t at = 0; at <= text.size();) {
        const std::size_t end = std::min(text.find(mark, at), text.size());
        parts.push_back(trimmed(text.substr(at, end - at)));
        at = end + 1;
    }
    return parts;
}

/// What both kinds of variables begin with.
struct Asked {
    std::string option, key, value;
    [[noreturn]] void refuse(const std::string& found, const std::string& expected) const {
        throw RangeFault(
            fmt::format("{} '{}={}': found {}; expected {}", option, key, value, found, expected),
            found, expected);
    }
};

Asked asked(const std::string& option, const std::string& text, const std::string& example) {
    const std::size_t equals = text.find('=');
    if (equals == std::string::npos) {
        throw InputError(fmt::format("{} '{}': there is no =; expected {}", option, text, example));
    }
    Asked out{option, trimmed(text.substr(0, equals)), trimmed(text.substr(equals + 1))};
    if (split_path(out.key).empty()) {
        out.refuse("no key path", "a key such as disc.stages[0].stiffness");
    }
    return out;
}

std::optional<double> plain(const std::string& text) {
    double value = 0.0;
    const char* end = text.data() + text.size();
    const auto read = std::from_chars(text.data(), end, value);
    if (read.ec != std::errc() || read.ptr != end || !std::isfinite(value)) return {};
    return value;
}

/// What stands behind the number: " N m/deg".
std::string unit_in(const std::string& text) {
    double ignored = 0.0;
    const auto read = std::from_chars(text.data(), text.data() + text.size(), ignored);
    if (read.ec != std::errc()) return "";
    return text.substr(static_cast<std::size_t>(read.ptr - text.data()));
}

AnyQuantity quantity_of(const Asked& who, const std::string& text) {
    auto read = read_any_quantity(text);
    if (const auto* fault = std::get_if<QuantityFault>(&read)) {
        who.refuse(fault->found, fault->expected);
    }
    return std::get<AnyQuantity>(read);
}

/// Quantities of one dimension; those without a unit take that of another.
std::vector<double> quantities_of(const Asked& who, std::vector<std::string> texts,
                                  Dimension& dimension) {
    const auto with_unit =
        std::ranges::find_if(texts, [](const std::string& text) { return !unit_in(text).empty(); });
    const std::string unit = with_unit == texts.end() ? std::string() : unit_in(*with_unit);
    std::vector<double> out;
    for (std::string& text : texts) {
        if (plain(text)) text.append(unit);
        const AnyQuantity one = quantity_of(who, text);
        if (!out.empty() && !(one.dimension == dimension)) {
            who.refuse(fmt::format("{} beside {}", spoken(one.dimension), spoken(dimension)),
                       "values of one kind");
        }
        dimension = one.dimension;
        out.push_back(one.si);
    }
    return out;
}

/// "times 0.5" → 0.5; "nominal" → 1; a plain number, where the others are factors.
double factor_of(const Asked& who, const std::string& text) {
    if (text == "nominal") return 1.0;
    const auto value = plain(text.starts_with(times) ? trimmed(text.substr(times.size())) : text);
    if (!value) who.refuse(fmt::format("\"{}\"", text), "a factor such as times 0.9");
    return *value;
}

void require_sense(const Asked& who, const StudyVariable& variable) {
    const std::string fault = fault_of(variable.distribution);
    if (!fault.empty()) {
        throw RangeFault(fmt::format("{} '{}={}': {}", who.option, who.key, who.value, fault),
                         "what cannot be: " + fault, "values in their order");
    }
}

void fill_levels(const Asked& who, const std::string& count, StudyVariable& variable) {
    int levels = usual_levels;
    if (!count.empty()) {
        const auto value = plain(count);
        if (!value || *value != std::floor(*value) || *value < 2 || *value > most_levels) {
            who.refuse(fmt::format("{} levels", count),
                       fmt::format("a whole number from 2 to {}", most_levels));
        }
        levels = static_cast<int>(*value);
    }
    for (int i = 0; i < levels; ++i) {
        variable.key.levels.push_back(std::lerp(variable.distribution.low,
                                                variable.distribution.high,
                                                static_cast<double>(i) / (levels - 1)));
    }
}

struct Nominal {
    double si = 0.0;
    Dimension dimension;
};

Nominal nominal_of(const Asked& who, const Scenario& scenario) {
    for (const ResolvedValue& value : resolved_values(scenario)) {
        if (value.key != who.key) continue;
        const AnyQuantity read = quantity_of(who, value.value);
        return {read.si, read.dimension};
    }
    who.refuse(fmt::format("nominal, but the scenario gives no single value of {}", who.key),
               "a value, or a spread relative to the files: an SD in %, or times 0.9");
}

/// The arguments in SI; `deviation` says which is one, or none.
std::vector<double> arguments(const Asked& who, const std::vector<std::string>& texts,
                              const Scenario& scenario, bool with_deviation,
                              StudyVariable& variable) {
    std::vector<std::string> plain_texts;
    std::optional<Nominal> nominal;
    for (std::size_t i = 0; i < texts.size(); ++i) {
        if (texts[i] == "nominal" && !nominal) nominal = nominal_of(who, scenario);
        const bool share = with_deviation && i == 1 && texts[i].ends_with('%');
        if (texts[i] != "nominal" && !share) plain_texts.push_back(texts[i]);
    }
    if (nominal) variable.dimension = nominal->dimension;
    Dimension dimension = variable.dimension;
    const std::vector<double> given = quantities_of(who, plain_texts, dimension);
    if (nominal && !given.empty() && !(dimension == nominal->dimension)) {
        who.refuse(spoken(dimension), spoken(nominal->dimension));
    }
    variable.dimension = dimension;
    std::vector<double> out;
    std::size_t next = 0;
    for (std::size_t i = 0; i < texts.size(); ++i) {
        if (texts[i] == "nominal") {
            out.push_back(nominal->si);
        } else if (with_deviation && i == 1 && texts[i].ends_with('%')) {
            out.push_back(std::abs(out[0]) * quantity_of(who, texts[i]).si);
        } else {
            out.push_back(given[next++]);
        }
    }
    if (with_deviation && dimension == Temperature::dimension &&
        texts[1].find("deg") != std::string::npos) {
        who.refuse(fmt::format("a spread of {}", texts[1]), "a spread of temperature in K");
    }
    return out;
}

}  // namespace

StudyVariable read_range(const std::string& text, const std::string& option) {
    const Asked who = asked(option, text, "KEY=LOW..HIGH, KEY=LOW..HIGH:N or KEY=ONE|ANOTHER");
    StudyVariable out;
    out.key.key = who.key;
    out.key.asked = who.value;
    const std::size_t dots = who.value.find("..");
    if (dots == std::string::npos) {
        out.key.choices = split(who.value, '|');
        out.key.units = si_units(Dimension{});
        if (out.key.choices.size() < 2 || who.value.empty()) {
            who.refuse("a single value", "LOW..HIGH, LOW..HIGH:N or ONE|ANOTHER");
        }
        out.distribution = Distribution::uniform(0.0, static_cast<double>(out.key.choices.size()));
        for (std::size_t i = 0; i < out.key.choices.size(); ++i) {
            out.key.levels.push_back(static_cast<double>(i));
        }
        return out;
    }
    const std::string low = trimmed(who.value.substr(0, dots));
    std::string high = trimmed(who.value.substr(dots + 2));
    std::string count;
    if (const std::size_t colon = high.rfind(':'); colon != std::string::npos) {
        count = trimmed(high.substr(colon + 1));
        high = trimmed(high.substr(0, colon));
        if (count.empty()) who.refuse("no number behind the colon", "LOW..HIGH:N");
    }
    out.key.multiplies = low.starts_with(times) || high.starts_with(times);
    const std::vector<double> ends =
        out.key.multiplies ? std::vector<double>{factor_of(who, low), factor_of(who, high)}
                           : quantities_of(who, {low, high}, out.dimension);
    out.distribution = Distribution::uniform(ends[0], ends[1]);
    require_sense(who, out);
    out.key.units = si_units(out.dimension);
    fill_levels(who, count, out);
    return out;
}

StudyVariable read_spread(const std::string& text, const Scenario& nominal,
                          const std::string& option) {
    const char* expected =
        "normal(MEAN, SD), normal(MEAN, SD, LOW, HIGH), uniform(LOW, HIGH) or triangular(LOW, "
        "PEAK, HIGH)";
    const Asked who = asked(option, text, fmt::format("KEY={}", expected));
    const std::size_t open = who.value.find('(');
    if (open == std::string::npos || !who.value.ends_with(')')) who.refuse("no spread", expected);
    const std::string name = trimmed(who.value.substr(0, open));
    const auto texts =
        split(std::string_view(who.value).substr(open + 1, who.value.size() - open - 2), ',');
    const bool normal = name == "normal" && (texts.size() == 2 || texts.size() == 4);
    if (!normal && !(name == "uniform" && texts.size() == 2) &&
        !(name == "triangular" && texts.size() == 3)) {
        who.refuse(fmt::format("{} with {} values", name.empty() ? std::string("no name") : name,
                               texts.size()),
                   expected);
    }
    StudyVariable out;
    out.key.key = who.key;
    out.key.asked = who.value;
    const bool share = normal && texts[1].ends_with('%');
    for (const std::string& one : texts) {
        out.key.multiplies = out.key.multiplies || one.starts_with(times);
    }
    out.key.multiplies =
        out.key.multiplies || (texts[0] == "nominal" && share && texts.size() == 2);
    std::vector<double> a;
    if (out.key.multiplies) {
        for (std::size_t i = 0; i < texts.size(); ++i) {
            const bool percent = share && i == 1;
            a.push_back(percent ? a[0] * quantity_of(who, texts[i]).si : factor_of(who, texts[i]));
        }
    } else {
        a = arguments(who, texts, nominal, normal, out);
    }
    out.distribution = normal && a.size() == 4 ? Distribution::cut_normal(a[0], a[1], a[2], a[3])
                       : normal                ? Distribution::normal(a[0], a[1])
                       : a.size() == 2         ? Distribution::uniform(a[0], a[1])
                                               : Distribution::triangular(a[0], a[1], a[2]);
    require_sense(who, out);
    out.key.units = si_units(out.dimension);
    return out;
}

double value_at(const StudyVariable& variable, double share) {
    const double value = quantile(variable.distribution, share);
    if (variable.key.choices.empty()) return value;
    return std::min(std::floor(value), static_cast<double>(variable.key.choices.size() - 1));
}

std::string text_of(const StudyVariable& variable, double value) {
    if (!variable.key.choices.empty()) {
        return variable.key.choices.at(static_cast<std::size_t>(value));
    }
    if (variable.key.multiplies) return fmt::format("times {:.17g}", value);
    return write_exact(value, variable.dimension);
}

}  // namespace damper
