// SPDX-License-Identifier: MIT
#include "libdamper/numerics/counted_random.hpp"
#include "libdamper/studies/cause_vehicles.hpp"
#include "libdamper/studies/discs_of_class.hpp"
#include "libdamper/studies/study_variable.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace damper {

namespace {

/// Standard normal from two even numbers. G. E. P. Box, M. E. Muller, "A note on the generation of
/// random normal deviates", Ann. Math. Stat. 29 (1958).
double normal_of(double a, double b) {
    return std::sqrt(-2.0 * std::log(a)) * std::cos(2.0 * std::numbers::pi * b);
}

/// A draw from "LOW..HIGH": 95 % of vehicles lie between, none beyond.
std::string scattered(const std::string& key, const std::string& range, double a, double b) {
    const StudyVariable variable = read_range(key + "=" + range);
    const double share = std::clamp(0.5 + 0.25 * normal_of(a, b), 0.0, 1.0);
    return text_of(variable, value_at(variable, share));
}

/// A draw from anywhere in the plausible range of a cause.
std::string ranged(const std::string& key, const std::string& range, double a) {
    const StudyVariable variable = read_range(key + "=" + range);
    const double low = value_at(variable, 0.0), high = value_at(variable, 1.0);
    // Factors over more than an octave: even on a logarithm, so that 1/3 is as likely as 3.
    if (variable.key.multiplies && low > 0.0 && high > 2.0 * low) {
        return text_of(variable, low * std::pow(high / low, a));
    }
    return text_of(variable, value_at(variable, a));
}

/// The second cylinder gives this share of the others' torque: a list as long as the engine's.
std::string one_weak_of(int cylinders, const std::string& share) {
    std::string out = "[1";
    for (int i = 1; i < cylinders; ++i) {
        out += ", ";
        out += i == 1 ? share : "1";
    }
    return out + "]";
}

/// A list that a cause gives to the cylinders is written for four of them: its second entry counts,
/// which may be a range.
constexpr const char* gains = "engine.cylinder_gains";

std::string second_of(const std::string& list) {
    const std::size_t first = list.find(',');
    if (first == std::string::npos) return "1";
    const std::size_t second = list.find_first_of(",]", first + 1);
    const std::size_t begin = list.find_first_not_of(' ', first + 1);
    return list.substr(begin, second - begin);
}

std::string changed_gains(const std::string& list, const VehiclesAsked& asked, double a) {
    const std::string share = second_of(list);
    const bool is_range = share.find("..") != std::string::npos;
    return one_weak_of(asked.cylinders,
                       is_range ? ranged("engine.cylinder_gain", share, a) : share);
}

}  // namespace

std::vector<std::pair<std::string, std::string>> changes_of_vehicle(const ComplaintKind& kind,
                                                                    const CandidateCause* candidate,
                                                                    const Cause* cause,
                                                                    const VehiclesAsked& asked,
                                                                    std::uint64_t number) {
    std::vector<std::pair<std::string, std::string>> out;
    std::uint64_t place = 0;
    const auto random = [&] { return counted_random(asked.seed, number, place++); };
    for (const auto& [key, range] : kind.scatter) {
        const double a = random(), b = random();
        out.emplace_back(key, scattered(key, range, a, b));
    }
    if (cause == nullptr) return out;
    place = 1000;  // the same numbers whatever the scatter has
    for (const auto& [key, value] : cause->changes) {
        const bool has_range =
            candidate != nullptr && std::ranges::any_of(candidate->ranges, [&](const auto& one) {
                return one.first == key;
            });
        if (!has_range && key == gains) {
            out.emplace_back(key, changed_gains(value, asked, 0.5));
        } else if (!has_range) {
            out.emplace_back(
                key, name_for_class(asked.models / (key + "s"), value, asked.vehicle_class));
        }
    }
    if (candidate != nullptr) {
        for (const auto& [key, range] : candidate->ranges) {
            const double a = random();
            out.emplace_back(key,
                             key == gains ? changed_gains(range, asked, a) : ranged(key, range, a));
        }
    }
    return out;
}

}  // namespace damper
