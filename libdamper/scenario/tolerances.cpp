// SPDX-License-Identifier: MIT
#include "libdamper/scenario/tolerances.hpp"

namespace damper {

Tolerance given_or(const std::map<std::string, Tolerance>& given, std::string_view name,
                   const Tolerance& built_in) {
    const auto found = given.find(std::string(name));
    if (found == given.end()) return built_in;
    Tolerance out = found->second;
    if (!out.absolute && !out.relative) {
        out.absolute = built_in.absolute;
        out.relative = built_in.relative;
    }
    if (!out.intervals) out.intervals = built_in.intervals;
    return out;
}

}  // namespace damper
