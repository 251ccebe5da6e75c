// SPDX-License-Identifier: MIT
#include "libdamper/solvers/solver.hpp"

namespace damper {

EventTable event_names(const Driveline& line) {
    EventTable table;
    for (const Branch& branch : line.branches) {
        for (const Cell& cell : branch.chain) {
            for (const Part& part : cell.parts) {
                table.elements.push_back(part.name);
                for (const Mode& mode : part.law.modes) table.modes.push_back(mode.label);
            }
        }
    }
    return table;
}

EnergyBook::Entry kinetic_gain(const Driveline& line, std::span<const double> before,
                               std::span<const double> after) {
    EnergyBook::Entry entry{.element = "inertias"};
    for (std::size_t i = 0; i < before.size(); ++i) {
        // ½·J·((Ω + a)² − (Ω + b)²) without squaring large numbers against each other.
        const double gain = after[i] - before[i];
        const double mean = line.masses[i].reference_speed + 0.5 * (after[i] + before[i]);
        entry.stored_change += line.masses[i].inertia * mean * gain;
    }
    return entry;
}

}  // namespace damper
