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
    for (const FaceBranch& faces : line.faces) {
        table.elements.push_back(faces.name);
        table.modes.insert(table.modes.end(), rubbing_names().begin(), rubbing_names().end());
    }
    return table;
}

namespace {

/// ½·J·((Ω + a)² − (Ω + b)²) summed up, without squaring large numbers against each other.
EnergyBook::Entry kinetic_gain(const Driveline& line, std::span<const double> before,
                               std::span<const double> after) {
    EnergyBook::Entry entry{.element = "inertias"};
    for (std::size_t i = 0; i < before.size(); ++i) {
        const double gain = after[i] - before[i];
        const double mean = line.masses[i].reference_speed + 0.5 * (after[i] + before[i]);
        entry.stored_change += line.masses[i].inertia * mean * gain;
    }
    return entry;
}

}  // namespace

EnergyBook energy_book(const Driveline& line, const EnergySums& sums) {
    EnergyBook book;
    for (std::size_t b = 0; b < sums.heat.size(); ++b) {
        book.entries.push_back({.element = line.branches[b].name,
                                .dissipated = sums.heat[b],
                                .stored_change = sums.stored_now[b] - sums.stored_before[b]});
    }
    for (std::size_t s = 0; s < sums.smooth_heat.size(); ++s) {
        book.entries.push_back({.element = line.smooth[s].name, .dissipated = sums.smooth_heat[s]});
    }
    for (std::size_t f = 0; f < sums.face_heat.size(); ++f) {
        book.entries.push_back({.element = line.faces[f].name, .dissipated = sums.face_heat[f]});
    }
    for (std::size_t u = 0; u < sums.work.size(); ++u) {
        book.entries.push_back({.element = line.inputs[u].name, .supplied = sums.work[u]});
    }
    book.entries.push_back(kinetic_gain(line, sums.speed_before, sums.speed_now));
    return book;
}

}  // namespace damper
