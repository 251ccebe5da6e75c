// SPDX-License-Identifier: MIT
#include "tools/damper/pace.hpp"

#include <fmt/format.h>

namespace damper::command {

std::string Pace::at(double share) {
    const auto now = std::chrono::steady_clock::now();
    if (first_share_ < 0.0) {
        first_share_ = share;
        began_ = now;
    }
    const double spent = std::chrono::duration<double>(now - began_).count();
    const double gained = share - first_share_;
    std::string text = fmt::format("{:.0f} of {:.0f}", share * count_, count_);
    if (!(gained > 0.0) || !(spent > 0.5)) return text;
    const double left = spent * (1.0 - share) / gained;
    text += fmt::format(", {:.3g} a second, ", gained * count_ / spent);
    if (left < 90.0) return text + fmt::format("{:.0f} s left", left);
    if (left < 5400.0) return text + fmt::format("{:.0f} min left", left / 60.0);
    return text + fmt::format("{:.1f} h left", left / 3600.0);
}

}  // namespace damper::command
