// SPDX-License-Identifier: MIT
#include "libdamper/solvers/general/equations.hpp"

#include <algorithm>
#include <cmath>
#include <variant>

namespace damper {

Equations::Equations(const Driveline& line, const Stacked& stacked)
    : line_(&line), stacked_(&stacked), n_(line.masses.size()) {
    const std::size_t count = line.branches.size();
    branches_.resize(count);
    for (std::size_t b = 0; b < count; ++b) {
        const std::vector<RowEntry>& row = line.branches[b].row;
        FlatBranch& flat = branches_[b];
        flat.drift = stacked.drift(b);
        if (!row.empty()) flat.a = flat.b = static_cast<std::size_t>(row[0].inertia);
        if (!row.empty()) flat.factor_a = row[0].factor;
        if (row.size() > 1) flat.b = static_cast<std::size_t>(row[1].inertia);
        if (row.size() > 1) flat.factor_b = row[1].factor;
        flat.more = more_.size();
        for (std::size_t e = 2; e < row.size(); ++e) more_.push_back(row[e]);
        flat.end = more_.size();
        refresh(b);
    }
    for (std::size_t i = 0; i < n_; ++i) {
        mass_first_.push_back(at_mass_.size());
        for (std::size_t b = 0; b < count; ++b) {
            for (const RowEntry& entry : line.branches[b].row) {
                if (static_cast<std::size_t>(entry.inertia) == i) {
                    at_mass_.push_back({b, entry.factor});
                }
            }
        }
        inverse_inertia_.push_back(1.0 / line.masses[i].inertia);
    }
    mass_first_.push_back(at_mass_.size());
    for (const Input& input : line.inputs) {
        const auto mass = static_cast<std::size_t>(input.inertia);
        inputs_.push_back({.mass = mass,
                           .reference = line.masses[mass].reference_speed,
                           .crank = {},
                           .over_speed = {}});
        if (input.leans()) {
            FlatInput& flat = inputs_.back();
            flat.against = input.reaction.inertia;
            flat.factor = input.reaction.factor;
            flat.reference +=
                flat.factor * line.masses[static_cast<std::size_t>(flat.against)].reference_speed;
        }
        if (const auto* crank = std::get_if<CrankTorque>(&input.source)) {
            inputs_.back().crank.emplace(*crank);
        } else if (const auto* over_speed = std::get_if<SpeedTorque>(&input.source)) {
            inputs_.back().over_speed.emplace(*over_speed);
        }
    }
    const std::vector<double> of_branches(count, 0.0);
    const std::vector<double> of_inputs(line.inputs.size(), 0.0);
    const std::vector<double> of_faces(line.faces.size(), 0.0);
    rubbing_.assign(line.faces.size(), Rubbing::sticking);
    aside_ = {.twist = of_branches,
              .rate = of_branches,
              .torque = of_branches,
              .smooth_power = std::vector<double>(line.smooth.size(), 0.0),
              .input_torque = of_inputs,
              .input_power = of_inputs,
              .face_torque = of_faces,
              .face_rate = of_faces,
              .face_up = of_faces,
              .face_down = of_faces};
    rows_.fill(aside_);
    top_.assign(n_, 0.0);
}

void Equations::refresh(std::size_t branch) {
    const Stacked::BranchNow& now = stacked_->branches()[branch];
    FlatBranch& flat = branches_[branch];
    flat.offset = now.offset;
    flat.spring = now.spring;
    flat.damping = now.damping;
}

void Equations::at_start(const std::vector<double>& y, std::vector<double>& slope, double t) {
    evaluate(y, slope, t, rows_.front());
}

void Equations::begin(const std::vector<double>& slope) {
    stage_ = 1;
    for (std::size_t i = 0; i < n_; ++i) top_[i] = std::abs(slope[n_ + i]);
}

void Equations::operator()(const std::vector<double>& y, std::vector<double>& slope, double t) {
    evaluate(y, slope, t, rows_[stage_++]);
    for (std::size_t i = 0; i < n_; ++i) top_[i] = std::max(top_[i], std::abs(slope[n_ + i]));
}

const Equations::Row& Equations::aside(const std::vector<double>& y, std::vector<double>& slope,
                                       double t) {
    evaluate(y, slope, t, aside_);
    return aside_;
}

void Equations::evaluate(const std::vector<double>& y, std::vector<double>& slope, double t,
                         Row& row) {
    ++evaluations_;
    const double* angle = y.data();
    const double* speed = angle + n_;
    double* torque = slope.data() + n_;
    std::copy(speed, speed + n_, slope.data());
    std::fill(torque, torque + n_, 0.0);
    add_branches(angle, speed, t + stacked_->turn(), row);
    add_smooth(speed, torque, row);
    add_inputs(angle, speed, t, torque, row);
    const double* of_branch = row.torque.data();
    for (std::size_t i = 0; i < n_; ++i) {
        double sum = torque[i];
        for (std::size_t e = mass_first_[i]; e < mass_first_[i + 1]; ++e) {
            sum -= at_mass_[e].factor * of_branch[at_mass_[e].at];
        }
        torque[i] = sum * inverse_inertia_[i];
    }
    if (!rubbing_.empty()) add_faces(angle, speed, t, torque, row);
}

/// Last, on accelerations: what stuck faces hold is all the rest.
void Equations::add_faces(const double* angle, const double* speed, double t, double* acceleration,
                          Row& row) const {
    for (std::size_t f = 0; f < rubbing_.size(); ++f) {
        const FaceBranch& faces = line_->faces[f];
        const double rate = rate_of(*line_, faces.row, speed);
        const double modulation = modulation_of(*line_, faces, t + stacked_->turn(), angle);
        double torque = 0.0;
        if (rubbing_[f] == Rubbing::sticking) {
            double pull = 0.0;
            for (const RowEntry& e : faces.row) pull += e.factor * acceleration[e.inertia];
            torque = faces.reduced_inertia(line_->masses) * pull;
            row.face_up[f] = holds_up(faces.law, t, modulation) - torque;
            row.face_down[f] = holds_down(faces.law, t, modulation) + torque;
        } else {
            const double sense = rubbing_[f] == Rubbing::slipping_up ? 1.0 : -1.0;
            torque = slip_torque(faces.law, rubbing_[f], t, rate, modulation);
            row.face_up[f] = row.face_down[f] = sense * rate;
        }
        for (const RowEntry& e : faces.row) {
            acceleration[e.inertia] -=
                e.factor * inverse_inertia_[static_cast<std::size_t>(e.inertia)] * torque;
        }
        row.face_rate[f] = rate;
        row.face_torque[f] = torque;
    }
}

/// `since` is the time for which the uniform rotation has gone on.
void Equations::add_branches(const double* angle, const double* speed, double since,
                             Row& row) const {
    double* twist = row.twist.data();
    double* rate = row.rate.data();
    double* torque = row.torque.data();
    for (const FlatBranch& flat : branches_) {
        double delta = flat.factor_a * angle[flat.a] + flat.factor_b * angle[flat.b];
        double delta_rate = flat.factor_a * speed[flat.a] + flat.factor_b * speed[flat.b];
        for (std::size_t e = flat.more; e < flat.end; ++e) {
            const auto i = static_cast<std::size_t>(more_[e].inertia);
            delta += more_[e].factor * angle[i];
            delta_rate += more_[e].factor * speed[i];
        }
        delta += flat.drift * since;
        delta_rate += flat.drift;
        *twist++ = delta;
        *rate++ = delta_rate;
        *torque++ = flat.offset + flat.spring * delta + flat.damping * delta_rate;
    }
}

void Equations::add_smooth(const double* speed, double* torque, Row& row) const {
    for (std::size_t s = 0; s < line_->smooth.size(); ++s) {
        const SmoothBranch& branch = line_->smooth[s];
        double rate = 0.0;
        for (const RowEntry& entry : branch.row) {
            const auto i = static_cast<std::size_t>(entry.inertia);
            rate += entry.factor * (line_->masses[i].reference_speed + speed[i]);
        }
        const auto r = static_cast<std::size_t>(branch.reference);
        const double tau =
            damper::torque(branch.law, rate, line_->masses[r].reference_speed + speed[r]);
        for (const RowEntry& entry : branch.row) {
            torque[static_cast<std::size_t>(entry.inertia)] -= entry.factor * tau;
        }
        row.smooth_power[s] = tau * rate;
    }
}

void Equations::add_inputs(const double* angle, const double* speed, double t, double* torque,
                           Row& row) const {
    for (std::size_t u = 0; u < inputs_.size(); ++u) {
        const FlatInput& input = inputs_[u];
        double whole = input.reference * (t + stacked_->turn()) + angle[input.mass];
        double turning = input.reference + speed[input.mass];
        if (input.against >= 0) {
            whole += input.factor * angle[input.against];
            turning += input.factor * speed[input.against];
        }
        double tau = 0.0;
        if (input.crank) {
            tau = input.crank->at(whole);
        } else if (input.over_speed) {
            tau = input.over_speed->at(t, whole, turning);
        } else {
            tau = damper::torque(line_->inputs[u].source, t, whole, turning);
        }
        torque[input.mass] += tau;
        if (input.against >= 0) torque[input.against] += input.factor * tau;
        row.input_torque[u] = tau;
        row.input_power[u] = tau * turning;
    }
}

}  // namespace damper
