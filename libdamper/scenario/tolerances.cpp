// SPDX-License-Identifier: MIT
#include "libdamper/scenario/tolerances.hpp"

namespace damper {

namespace {

struct BuiltIn {
    std::string_view name;
    Tolerance tolerance;
};

/// Conventions of this tool. What hangs on single impacts of a chaotic motion scatters: another
/// compiler's rounding gives other impacts after some cycles.
constexpr double usual = 0.01;

const Tolerance& built_in(std::string_view name) {
    static const Tolerance otherwise{.absolute = {}, .relative = usual, .intervals = 2.0};
    static const std::map<std::string_view, Tolerance> all{};
    const auto found = all.find(name);
    return found == all.end() ? otherwise : found->second;
}

Tolerance merged(const std::map<std::string, Tolerance>& given, std::string_view name,
                 const Tolerance& otherwise) {
    const auto found = given.find(std::string(name));
    if (found == given.end()) return otherwise;
    Tolerance out = found->second;
    if (!out.absolute && !out.relative) {
        out.absolute = otherwise.absolute;
        out.relative = otherwise.relative;
    }
    if (!out.intervals) out.intervals = otherwise.intervals;
    return out;
}

}  // namespace

Tolerance tolerance_of_measure(const Tolerances& given, std::string_view name) {
    return merged(given.measures, name, built_in(name));
}

Tolerance tolerance_of_signal(const Tolerances& given, std::string_view name) {
    return merged(given.signals, name, {.absolute = {}, .relative = usual, .intervals = {}});
}

}  // namespace damper
