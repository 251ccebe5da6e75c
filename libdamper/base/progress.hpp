// SPDX-License-Identifier: MIT
#pragma once

#include <functional>

namespace damper {

/// What long work reports and asks while it runs. Passed in, never global.
struct Progress {
    /// Called now and then with the share done, 0…1. May be empty.
    std::function<void(double share)> report;
    /// Asked now and then; true means: keep what there is and return. May be empty.
    std::function<bool()> stop_requested;

    void tell(double share) const {
        if (report) report(share);
    }
    [[nodiscard]] bool must_stop() const { return stop_requested && stop_requested(); }
};

}  // namespace damper
