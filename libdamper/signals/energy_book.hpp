// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

namespace damper {

/// Where the energy of a run came from and went to, element by element.
struct EnergyBook {
    struct Entry {
        std::string element;
        double supplied = 0.0;       ///< Work done on the driveline by an input [J].
        double dissipated = 0.0;     ///< Turned into heat [J].
        double stored_change = 0.0;  ///< Stored at the end minus stored at the start [J].
    };
    std::vector<Entry> entries;  ///< Elements, inputs, and one row "inertias".

    /// Supplied − dissipated − change of stored: what the solver lost or made up [J].
    [[nodiscard]] double unbalanced() const;
    /// The larger of the energy supplied and the energy dissipated, gross over the rows [J]:
    /// the scale against which the unbalanced part is judged.
    [[nodiscard]] double turnover() const;
    /// |unbalanced| / turnover; 0 when nothing was turned over.
    [[nodiscard]] double residual() const;
};

}  // namespace damper
