// SPDX-License-Identifier: MIT
#include "libdamper/driveline/stacked.hpp"

#include "libdamper/base/error.hpp"

#include <cmath>

namespace damper {

namespace {

double along(const std::vector<RowEntry>& row, std::span<const double> values) {
    double sum = 0.0;
    for (const RowEntry& entry : row) {
        sum += entry.factor * values[static_cast<std::size_t>(entry.inertia)];
    }
    return sum;
}

}  // namespace

Stacked::Stacked(const Driveline& line) : line_(&line) {
    check(line);
    for (std::size_t b = 0; b < line.branches.size(); ++b) {
        const Branch& branch = line.branches[b];
        first_part_.push_back(parts_.size());
        first_cell_.push_back(cells_.size());
        double drift = 0.0;
        for (const RowEntry& entry : branch.row) {
            drift +=
                entry.factor * line.masses[static_cast<std::size_t>(entry.inertia)].reference_speed;
        }
        // A closed path has no drift; what rounding leaves would grow with time.
        drift_.push_back(std::abs(drift) < 1e-9 ? 0.0 : drift);
        for (const Cell& cell : branch.chain) {
            for (const Part& part : cell.parts) parts_.push_back({b, cells_.size(), &part});
            cells_.push_back({});
        }
    }
    first_part_.push_back(parts_.size());
    first_cell_.push_back(cells_.size());
    branches_.resize(line.branches.size());
    guards_.resize(line.branches.size());
}

void Stacked::set(const State& state) {
    for (std::size_t b = 0; b < branches_.size(); ++b) set_branch(state, b);
}

Stacked::CellSum Stacked::sum_of(std::size_t first_part, const Cell& cell,
                                 const State& state) const {
    CellSum sum;
    for (std::size_t p = 0; p < cell.parts.size(); ++p) {
        const std::size_t at = first_part + p;
        const Mode& mode = cell.parts[p].law.modes[static_cast<std::size_t>(state.mode[at])];
        sum.b += mode.lost - mode.spring * (mode.rest + mode.memory_weight * state.memory[at]);
        sum.k += mode.spring;
        sum.c += mode.lost_rate;
    }
    return sum;
}

void Stacked::set_branch(const State& state, std::size_t b) {
    const Branch& branch = line_->branches[b];
    sums_.clear();
    std::size_t part = first_part_[b];
    for (const Cell& cell : branch.chain) {
        sums_.push_back(sum_of(part, cell, state));
        part += cell.parts.size();
    }
    combine(b);
    place_guards(b, state);
}

void Stacked::combine(std::size_t b) {
    const std::vector<CellSum>& sums = sums_;
    BranchNow& now = branches_[b];
    now = {.offset = 0.0, .spring = 0.0, .damping = line_->branches[b].damping};
    if (sums.empty()) return;
    CellNow* cells = &cells_[first_cell_[b]];
    if (sums.size() == 1) {
        now.offset = sums[0].b;
        now.spring = sums[0].k;
        now.damping += sums[0].c;
        cells[0] = {0.0, 1.0};
        return;
    }
    double compliance = 0.0;
    double rest = 0.0;  // Σ b/k
    std::ptrdiff_t flat = -1;
    for (std::size_t c = 0; c < sums.size(); ++c) {
        if (sums[c].k > 0.0) {
            compliance += 1.0 / sums[c].k;
            rest += sums[c].b / sums[c].k;
        } else if (flat < 0) {
            flat = static_cast<std::ptrdiff_t>(c);
        } else {
            throw ModelError("two cells of \"" + line_->branches[b].name +
                             "\" are without stiffness at once");
        }
    }
    if (flat < 0) {
        now.offset = rest / compliance;
        now.spring = 1.0 / compliance;
        for (std::size_t c = 0; c < sums.size(); ++c) {
            cells[c] = {(now.offset - sums[c].b) / sums[c].k, now.spring / sums[c].k};
        }
        return;
    }
    now.offset = sums[static_cast<std::size_t>(flat)].b;
    double taken = 0.0;
    for (std::size_t c = 0; c < sums.size(); ++c) {
        if (static_cast<std::ptrdiff_t>(c) == flat) continue;
        cells[c] = {(now.offset - sums[c].b) / sums[c].k, 0.0};
        taken += cells[c].offset;
    }
    cells[flat] = {-taken, 1.0};
}

void Stacked::place_guards(std::size_t b, const State& state) {
    guards_[b].clear();
    for (std::size_t p = first_part_[b]; p < first_part_[b + 1]; ++p) {
        const Law& law = parts_[p].part->law;
        const Mode& mode = law.modes[static_cast<std::size_t>(state.mode[p])];
        const CellNow& cell = cells_[parts_[p].cell];
        for (std::size_t g = 0; g < mode.guards.size(); ++g) {
            const Linear& v = mode.guards[g].value;
            guards_[b].push_back(
                {.branch = b,
                 .part = p,
                 .index = g,
                 .offset = v.offset + v.twist * cell.offset + v.memory * state.memory[p],
                 .twist = v.twist * cell.factor,
                 .rate = v.rate * cell.factor});
        }
    }
}

double Stacked::twist(std::size_t b, double t, std::span<const double> angle) const {
    return along(line_->branches[b].row, angle) + drift_[b] * (t + turn_);
}

double Stacked::rate(std::size_t b, std::span<const double> speed) const {
    return along(line_->branches[b].row, speed) + drift_[b];
}

double Stacked::stored(std::size_t b, const State& state, double delta) const {
    double sum = 0.0;
    for (std::size_t p = first_part_[b]; p < first_part_[b + 1]; ++p) {
        const Mode& mode = parts_[p].part->law.modes[static_cast<std::size_t>(state.mode[p])];
        sum += mode.stored(cell_twist(parts_[p].cell, delta), state.memory[p]);
    }
    return sum;
}

double Stacked::heating(std::size_t b, const State& state, double delta_rate) const {
    const HeatNow now = heat(b, state);
    return (now.constant + now.rate * delta_rate) * delta_rate;
}

Stacked::HeatNow Stacked::heat(std::size_t b, const State& state) const {
    HeatNow out{.constant = 0.0, .rate = line_->branches[b].damping};
    for (std::size_t p = first_part_[b]; p < first_part_[b + 1]; ++p) {
        const Mode& mode = parts_[p].part->law.modes[static_cast<std::size_t>(state.mode[p])];
        const double factor = cells_[parts_[p].cell].factor;
        out.constant += mode.lost * factor;
        out.rate += mode.lost_rate * factor * factor;
    }
    return out;
}

void Stacked::fire(const GuardNow& guard, State& state, double delta) {
    const std::size_t p = guard.part;
    const Mode& mode = parts_[p].part->law.modes[static_cast<std::size_t>(state.mode[p])];
    const Guard& rule = mode.guards[guard.index];
    if (rule.resets) {
        const double own = cell_twist(parts_[p].cell, delta);
        state.memory[p] = rule.reset.at(own, 0.0, state.memory[p]);
    }
    state.mode[p] = rule.next;
    set_branch(state, guard.branch);
}

}  // namespace damper
