// SPDX-License-Identifier: MIT
#include "libdamper/studies/tune_space.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/nearest_word.hpp"
#include "libdamper/describe/resolved.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <set>
#include <variant>

namespace damper {

namespace {

constexpr int digits = 4;
constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

struct Usual {
    std::string_view low, high;
};

/// Usual for a stage: what springs, windows and washers of it are made for.
struct StagePractice {
    Usual stiffness, drive_end, coast_end, hysteresis;
};

struct ClassPractice {
    std::string_view vehicle_class;
    StagePractice idle, middle, main;
};

// Recalled, no source. Friction of middle stages and where they end: estimates of this tool,
// between those of the stages beside them.
constexpr std::array practices = {
    ClassPractice{
        "car",
        {{"0.15 N m/deg", "1 N m/deg"},
         {"4 deg", "12 deg"},
         {"2 deg", "8 deg"},
         {"0.3 N m", "1.5 N m"}},
        {{"2 N m/deg", "6 N m/deg"}, {"6 deg", "20 deg"}, {"3 deg", "14 deg"}, {"1 N m", "8 N m"}},
        {{"8 N m/deg", "30 N m/deg"},
         {"12 deg", "26 deg"},
         {"6 deg", "18 deg"},
         {"8 N m", "30 N m"}}},
    ClassPractice{"light van",
                  {{"0.3 N m/deg", "1.5 N m/deg"},
                   {"4 deg", "10 deg"},
                   {"2 deg", "7 deg"},
                   {"0.6 N m", "2.5 N m"}},
                  {{"4 N m/deg", "10 N m/deg"},
                   {"6 deg", "20 deg"},
                   {"3 deg", "14 deg"},
                   {"2 N m", "15 N m"}},
                  {{"15 N m/deg", "45 N m/deg"},
                   {"14 deg", "28 deg"},
                   {"6 deg", "18 deg"},
                   {"15 N m", "40 N m"}}},
    ClassPractice{"medium truck",
                  {{"0.8 N m/deg", "4 N m/deg"},
                   {"3 deg", "8 deg"},
                   {"2 deg", "6 deg"},
                   {"1.5 N m", "6 N m"}},
                  {{"10 N m/deg", "30 N m/deg"},
                   {"4 deg", "16 deg"},
                   {"3 deg", "10 deg"},
                   {"5 N m", "40 N m"}},
                  {{"40 N m/deg", "130 N m/deg"},
                   {"12 deg", "24 deg"},
                   {"6 deg", "15 deg"},
                   {"35 N m", "120 N m"}}},
    ClassPractice{
        "heavy truck",
        {{"1.5 N m/deg", "8 N m/deg"}, {"2 deg", "6 deg"}, {"1 deg", "5 deg"}, {"3 N m", "15 N m"}},
        {{"30 N m/deg", "80 N m/deg"},
         {"3 deg", "12 deg"},
         {"2 deg", "8 deg"},
         {"12 N m", "90 N m"}},
        {{"100 N m/deg", "350 N m/deg"},
         {"8 deg", "20 deg"},
         {"5 deg", "12 deg"},
         {"80 N m", "300 N m"}}},
};

const StagePractice& practice_of(std::size_t stage, std::size_t stages, std::string_view wanted) {
    const auto found = std::ranges::find(practices, wanted, &ClassPractice::vehicle_class);
    const ClassPractice& one = found == practices.end() ? practices.front() : *found;
    if (stage + 1 == stages) return one.main;
    return stage == 0 ? one.idle : one.middle;
}

double si_of(std::string_view text, const Dimension& dimension) {
    return std::get<double>(read_quantity(std::string(text), dimension));
}

TuneKey usual_key(std::string key, const Dimension& dimension, const Usual& usual, double fitted,
                  bool logarithmic) {
    TuneKey out;
    out.variable.key.key = std::move(key);
    out.variable.key.asked = fmt::format("{}..{}", usual.low, usual.high);
    out.variable.key.units = si_units(dimension);
    out.variable.dimension = dimension;
    out.why = "usual for the class; recalled, no source";
    const double low = si_of(usual.low, dimension), high = si_of(usual.high, dimension);
    out.low = fitted > 0.0 ? std::min(low, fitted) : low;
    out.high = std::max(high, fitted);
    if (out.low < low || out.high > high) out.why += "; widened to the fitted disc";
    out.fitted = fitted;
    out.logarithmic = logarithmic;
    return out;
}

double share_of(const TuneKey& key, double value) {
    const double share = key.logarithmic ? std::log(value / key.low) / std::log(key.high / key.low)
                                         : (value - key.low) / (key.high - key.low);
    return std::clamp(share, 0.0, 1.0);
}

double value_of(const TuneKey& key, double share) {
    return key.logarithmic ? key.low * std::pow(key.high / key.low, share)
                           : std::lerp(key.low, key.high, share);
}

std::string rounded_text(const TuneKey& key, double value) {
    if (key.variable.key.multiplies) return fmt::format("times {:.{}g}", value, digits);
    return write_quantity(value, key.variable.dimension, digits);
}

double rounded(const TuneKey& key, double value) {
    if (key.variable.key.multiplies) return std::stod(fmt::format("{:.{}g}", value, digits));
    return si_of(rounded_text(key, value), key.variable.dimension);
}

/// Of a key that is none of the usual ones.
double fitted_value(const StudyVariable& variable, const Scenario& scenario) {
    if (variable.key.multiplies) return 1.0;
    for (const ResolvedValue& one : resolved_values(scenario)) {
        if (one.key != variable.key.key) continue;
        const auto read = read_quantity(one.value, variable.dimension);
        const double* si = std::get_if<double>(&read);
        return si == nullptr ? unknown : *si;
    }
    return unknown;
}

TuneKey asked_key(const std::string& text, const std::vector<TuneKey>& usual,
                  const Scenario& scenario, const std::string& option) {
    if (text.find('=') == std::string::npos) {
        std::vector<std::string> names;
        for (const TuneKey& one : usual) {
            if (one.variable.key.key == text) return one;
            names.push_back(one.variable.key.key);
        }
        const std::string near = nearest_word(text, names);
        throw InputError(fmt::format(
            "{} {}: this key has no usual range{}; expected KEY=LOW..HIGH, or a stiffness, end or "
            "hysteresis of a stage of the fitted disc",
            option, text, near.empty() ? "" : fmt::format(", did you mean {}?", near)));
    }
    TuneKey out;
    out.variable = read_range(text, option);
    if (!out.variable.key.choices.empty()) {
        throw InputError(
            fmt::format("{} '{}': a search needs a range LOW..HIGH, no words to "
                        "choose from; compare parts by name with damper compare",
                        option, text));
    }
    out.variable.key.levels.clear();
    out.low = std::min(out.variable.distribution.low, out.variable.distribution.high);
    out.high = std::max(out.variable.distribution.low, out.variable.distribution.high);
    out.why = "as asked for";
    out.fitted = fitted_value(out.variable, scenario);
    for (const TuneKey& one : usual) {
        if (one.variable.key.key != out.variable.key.key) continue;
        out.follower = out.variable.key.multiplies ? "" : one.follower;
        out.follower_ratio = one.follower_ratio;
        out.logarithmic = one.logarithmic && out.low > 0.0;
    }
    return out;
}

}  // namespace

TuneSpace::TuneSpace(std::vector<TuneKey> keys) : keys_(std::move(keys)) {
    if (keys_.empty()) throw InputError("a search needs at least one free key");
    std::set<std::string> seen;
    for (const TuneKey& one : keys_) {
        if (!seen.insert(one.variable.key.key).second) {
            throw InputError(fmt::format("{} is free twice", one.variable.key.key));
        }
    }
}

std::vector<double> TuneSpace::values(const std::vector<double>& cube) const {
    std::vector<double> out;
    for (std::size_t k = 0; k < keys_.size(); ++k) {
        out.push_back(rounded(keys_[k], value_of(keys_[k], cube[k])));
    }
    return out;
}

std::vector<double> TuneSpace::cube(const std::vector<double>& values) const {
    std::vector<double> out;
    for (std::size_t k = 0; k < keys_.size(); ++k) {
        out.push_back(std::isfinite(values[k]) ? share_of(keys_[k], values[k]) : 0.5);
    }
    return out;
}

std::vector<std::pair<std::string, std::string>> TuneSpace::changes(
    const std::vector<double>& values) const {
    std::vector<std::pair<std::string, std::string>> out;
    for (std::size_t k = 0; k < keys_.size(); ++k) {
        const TuneKey& key = keys_[k];
        out.emplace_back(key.variable.key.key, rounded_text(key, values[k]));
        if (key.follower.empty()) continue;
        out.emplace_back(key.follower, write_quantity(values[k] * key.follower_ratio,
                                                      key.variable.dimension, digits));
    }
    return out;
}

std::vector<TuneKey> usual_keys(const Disc& fitted, std::string_view vehicle_class) {
    std::vector<TuneKey> out;
    for (std::size_t i = 0; i < fitted.stages.size(); ++i) {
        const DiscStage& stage = fitted.stages[i];
        const StagePractice& usual = practice_of(i, fitted.stages.size(), vehicle_class);
        const auto key = [&](const char* name) {
            return fmt::format("disc.stages[{}].{}", i, name);
        };
        TuneKey stiffness = usual_key(key("stiffness"), Stiffness::dimension, usual.stiffness,
                                      stage.stiffness.si(), true);
        if (stage.coast_stiffness.si() > 0.0) {
            stiffness.follower = key("coast_stiffness");
            stiffness.follower_ratio = stage.coast_stiffness.si() / stage.stiffness.si();
        }
        out.push_back(std::move(stiffness));
        out.push_back(usual_key(key("drive_end"), Angle::dimension, usual.drive_end,
                                stage.drive_end.si(), false));
        out.push_back(usual_key(key("coast_end"), Angle::dimension, usual.coast_end,
                                stage.coast_end.si(), false));
        out.push_back(usual_key(key("hysteresis"), Torque::dimension, usual.hysteresis,
                                stage.hysteresis.si(), true));
    }
    return out;
}

std::vector<TuneKey> free_keys(const std::vector<std::string>& asked, const Scenario& scenario,
                               const std::string& option) {
    std::vector<TuneKey> usual = usual_keys(scenario.vehicle.disc, scenario.vehicle.vehicle_class);
    if (asked.empty()) return usual;
    std::vector<TuneKey> out;
    for (const std::string& text : asked) out.push_back(asked_key(text, usual, scenario, option));
    return out;
}

}  // namespace damper
