// SPDX-License-Identifier: MIT
#include "libdamper/driveline/driveline.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

template <typename Named>
int index_of(const std::vector<Named>& all, const std::string& name, const char* what) {
    const auto found =
        std::find_if(all.begin(), all.end(), [&](const Named& one) { return one.name == name; });
    if (found == all.end()) throw ModelError(std::string("no ") + what + " \"" + name + "\"");
    return static_cast<int>(found - all.begin());
}

void check_row(const std::vector<RowEntry>& row, std::size_t count, const std::string& name) {
    if (row.empty()) throw ModelError("element \"" + name + "\" touches no inertia");
    for (const RowEntry& entry : row) {
        if (entry.inertia < 0 || static_cast<std::size_t>(entry.inertia) >= count ||
            !std::isfinite(entry.factor)) {
            throw ModelError("element \"" + name + "\" has a bad row");
        }
    }
}

void check_chain(const Branch& branch) {
    for (const Cell& cell : branch.chain) {
        if (cell.parts.empty()) throw ModelError("empty cell in \"" + branch.name + "\"");
        for (const Part& part : cell.parts) {
            for (const Mode& mode : part.law.modes) {
                if (branch.chain.size() > 1 && mode.lost_rate != 0.0) {
                    throw ModelError("\"" + part.name + "\" has damping inside a series of cells");
                }
            }
        }
    }
    if (branch.chain.empty() && branch.damping == 0.0) {
        throw ModelError("element \"" + branch.name + "\" has neither cells nor damping");
    }
}

}  // namespace

std::size_t Driveline::part_count() const {
    std::size_t count = 0;
    for (const Branch& b : branches) {
        for (const Cell& cell : b.chain) count += cell.parts.size();
    }
    return count;
}

int Driveline::mass(const std::string& name) const {
    return index_of(masses, name, "inertia");
}

int Driveline::branch(const std::string& name) const {
    return index_of(branches, name, "element");
}

void check(const Driveline& line) {
    for (const RotatingMass& mass : line.masses) {
        if (!(mass.inertia > 0.0) || !std::isfinite(mass.inertia) ||
            !std::isfinite(mass.reference_speed)) {
            throw ModelError("inertia of \"" + mass.name + "\" must be positive and finite");
        }
    }
    for (const Branch& branch : line.branches) {
        check_row(branch.row, line.masses.size(), branch.name);
        check_chain(branch);
        if (!(branch.damping >= 0.0) || !std::isfinite(branch.damping)) {
            throw ModelError("damping of \"" + branch.name + "\" must be ≥ 0 and finite");
        }
    }
    for (const SmoothBranch& smooth : line.smooth) {
        check_row(smooth.row, line.masses.size(), smooth.name);
        check_row({{smooth.reference, 1.0}}, line.masses.size(), smooth.name);
    }
    std::vector<bool> rubs(line.masses.size(), false);
    for (const FaceBranch& faces : line.faces) {
        check_row(faces.row, line.masses.size(), faces.name);
        check(faces.law);
        for (const RowEntry& entry : faces.row) {
            if (rubs[static_cast<std::size_t>(entry.inertia)]) {
                throw ModelError("\"" + faces.name + "\" shares an inertia with other faces");
            }
        }
        for (const RowEntry& entry : faces.row) {
            rubs[static_cast<std::size_t>(entry.inertia)] = true;
        }
        for (const FaceModulation& one : faces.modulations) {
            check_row(one.row, line.masses.size(), faces.name);
            if (!(one.share >= 0.0 && one.share <= 1.0) || !std::isfinite(one.phase)) {
                throw ModelError("the load of \"" + faces.name +
                                 "\" can swing by a share of 0 to 1");
            }
        }
    }
    for (const Input& input : line.inputs) {
        check_row(input.row(), line.masses.size(), input.name);
        check(input.source);
    }
}

double FaceBranch::reduced_inertia(const std::vector<RotatingMass>& masses) const {
    double flexibility = 0.0;
    for (const RowEntry& entry : row) {
        flexibility +=
            entry.factor * entry.factor / masses[static_cast<std::size_t>(entry.inertia)].inertia;
    }
    return 1.0 / flexibility;
}

double rate_of(const Driveline& line, const std::vector<RowEntry>& row, const double* speed) {
    double rate = 0.0;
    for (const RowEntry& entry : row) {
        const auto i = static_cast<std::size_t>(entry.inertia);
        rate += entry.factor * (line.masses[i].reference_speed + speed[i]);
    }
    return rate;
}

std::vector<Rubbing> rubbing_at(const Driveline& line, const std::vector<double>& speed) {
    std::vector<Rubbing> out;
    for (const FaceBranch& faces : line.faces) {
        const double rate = rate_of(line, faces.row, speed.data());
        out.push_back(rate > 0.0   ? Rubbing::slipping_up
                      : rate < 0.0 ? Rubbing::slipping_down
                                   : Rubbing::sticking);
    }
    return out;
}

double modulation_of(const Driveline& line, const FaceBranch& faces, double since,
                     const double* angle) {
    double product = 1.0;
    for (const FaceModulation& one : faces.modulations) {
        double phi = one.phase;
        for (const RowEntry& entry : one.row) {
            const auto i = static_cast<std::size_t>(entry.inertia);
            phi += entry.factor * (line.masses[i].reference_speed * since + angle[i]);
        }
        product *= 1.0 + one.share * std::cos(phi);
    }
    return product;
}

State start_state(const Driveline& line) {
    State state;
    state.angle.assign(line.masses.size(), 0.0);
    state.speed.assign(line.masses.size(), 0.0);
    for (const Branch& branch : line.branches) {
        for (const Cell& cell : branch.chain) {
            for (const Part& part : cell.parts) {
                state.mode.push_back(part.law.start);
                state.memory.push_back(0.0);
            }
        }
    }
    state.rubbing = rubbing_at(line, state.speed);
    return state;
}

}  // namespace damper
