// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/error.hpp"

#include <string>
#include <utility>

namespace damper {

/// Does `work` and says why a vehicle cannot be described, solved or is outside the model; empty if
/// it can. Among many vehicles one that is refused is no fault: the others go on.
template <class Work>
[[nodiscard]] std::string refusal_of(Work&& work) {
    try {
        std::forward<Work>(work)();
    } catch (const InputError& wrong) {
        return wrong.what();
    } catch (const SolverError& wrong) {
        return wrong.what();
    } catch (const ModelError& wrong) {
        return wrong.what();
    }
    return "";
}

}  // namespace damper
