// SPDX-License-Identifier: MIT
#include "libdamper/studies/thinning_sink.hpp"

#include <array>
#include <cmath>
#include <utility>

namespace damper {

namespace {

struct Kept {
    const char* name;
    const char* units;
    double RunSample::*member;
    enum class Where { always, driving, two_mass, on_mounts } where;
    bool after_change_only = true;
};

constexpr std::array kept = {
    Kept{"flywheel_speed", "rad/s", &RunSample::flywheel_speed, Kept::Where::always, false},
    Kept{"input_shaft_speed", "rad/s", &RunSample::input_shaft_speed, Kept::Where::always, false},
    Kept{"disc_twist", "rad", &RunSample::disc_twist, Kept::Where::always},
    Kept{"drive_shaft_torque", "N.m", &RunSample::drive_shaft_torque, Kept::Where::driving},
    Kept{"vehicle_acceleration", "m/s2", &RunSample::vehicle_acceleration, Kept::Where::driving},
    Kept{"flywheel_twist", "rad", &RunSample::flywheel_twist, Kept::Where::two_mass},
    Kept{"block_roll", "rad", &RunSample::block_roll, Kept::Where::on_mounts}};

bool is_there(Kept::Where where, const RunFacts& facts) {
    switch (where) {
        case Kept::Where::always:
            return true;
        case Kept::Where::driving:
            return facts.driving;
        case Kept::Where::two_mass:
            return !facts.flywheel_stages.empty();
        case Kept::Where::on_mounts:
            return facts.on_mounts;
    }
    return false;
}

}  // namespace

std::vector<std::pair<std::string, std::string>> baseline_signals() {
    std::vector<std::pair<std::string, std::string>> out;
    for (const Kept& one : kept) out.emplace_back(one.name, one.units);
    return out;
}

ThinningSink::ThinningSink(const Assembled& assembled, RunMeasures& measures, const RunFacts& facts,
                           double sample_step, std::size_t most)
    : inner_(assembled, measures) {
    const MeasureKind kind = measure_kind(facts.manoeuvre);
    if (kind == MeasureKind::steady) return;
    const double samples = facts.length / sample_step + 1.0;
    stride_ = static_cast<std::size_t>(std::ceil(samples / static_cast<double>(most)));
    for (const Kept& one : kept) {
        if (one.after_change_only && kind != MeasureKind::change) continue;
        if (is_there(one.where, facts)) signals_.push_back({one.name, one.units, {}});
    }
}

void ThinningSink::sample(const Instant& instant) {
    inner_.sample(instant);
    if (stride_ == 0 || sampler().came_to_rest() || seen_++ % stride_ != 0) return;
    const RunSample& now = sampler().sample();
    time_.push_back(now.time);
    std::size_t next = 0;
    for (const Kept& one : kept) {
        if (next < signals_.size() && signals_[next].name == one.name) {
            signals_[next++].values.push_back(now.*one.member);
        }
    }
}

void ThinningSink::give(Baseline& baseline) {
    baseline.time = std::move(time_);
    baseline.signals = std::move(signals_);
}

}  // namespace damper
