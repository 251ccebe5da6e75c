// SPDX-License-Identifier: MIT
#include "libdamper/fit/compare_disc.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace damper {

namespace {

constexpr double degree = std::numbers::pi / 180.0;
constexpr double spring_scatter =
    0.025;  // of the stiffness, beside the error of the fit; no source

double half(const Estimate& one) {
    return 0.5 * (one.high - one.low);
}

Deviation deviation(std::string key, const Estimate& measured, double nominal, double tolerance,
                    bool relative) {
    Deviation out{.key = std::move(key),
                  .nominal = nominal,
                  .tolerance = tolerance,
                  .relative = relative && nominal > 0.0};
    if (measured.known == Known::open) return out;
    const double scale = out.relative ? 1.0 / nominal : 1.0;
    out.deviation = (measured.value - nominal) * scale;
    out.error = half(measured) * scale;
    const double size = std::abs(out.deviation);
    out.standing = size - out.error > tolerance   ? Standing::outside
                   : size + out.error > tolerance ? Standing::edge
                                                  : Standing::within;
    return out;
}

std::string percent(const Deviation& one) {
    const double error = 100.0 * one.error;
    return fmt::format("{:+.0f} % ± {:.{}f} %", 100.0 * one.deviation, error, error < 0.95 ? 1 : 0);
}

std::string angle(const Deviation& one) {
    return fmt::format("{:+.2f} deg ± {:.2f} deg", one.deviation / degree, one.error / degree);
}

/// Drive and coast side as one, weighted by what is known of them.
Deviation both_sides(const Deviation& drive, const Deviation& coast) {
    if (drive.standing == Standing::open) return coast;
    if (coast.standing == Standing::open) return drive;
    Deviation out = drive;
    const double d = 1.0 / std::max(drive.error * drive.error, 1e-12);
    const double c = 1.0 / std::max(coast.error * coast.error, 1e-12);
    out.deviation = (d * drive.deviation + c * coast.deviation) / (d + c);
    out.error = 1.0 / std::sqrt(d + c);
    return out;
}

/// What the stiffness of a stage says of its springs; empty if nothing.
std::string spring_finding(const DiscStage& stage, const std::string& name, const Deviation& drive,
                           const Deviation& coast) {
    const Deviation both = both_sides(drive, coast);
    if (both.standing == Standing::open) return "";
    if (stage.springs > 1) {
        const double share = 1.0 / stage.springs;
        const int missing = static_cast<int>(std::lround(-both.deviation / share));
        const double off = std::abs(both.deviation + missing * share);
        const double likely = std::max(spring_scatter, both.error);
        // Halfway to the next whole spring nothing is told.
        if (missing > 0 && missing < stage.springs && off < std::min(likely, 0.4 * share) &&
            both.deviation + both.error < 0.0) {
            return fmt::format(
                "Set or broken spring in stage {} ({}): as if {} of its {} springs carried nothing "
                "({:+.0f} %).",
                name, percent(both), missing, stage.springs, -100.0 * missing * share);
        }
    }
    const bool low = drive.standing == Standing::outside || coast.standing == Standing::outside;
    if (!low) return "";
    if (both.deviation < 0.0) {
        return fmt::format("Stage {} is too soft ({}): set or broken springs, or another disc.",
                           name, percent(both));
    }
    return fmt::format("Stage {} is too stiff ({}): another disc, or springs that jam.", name,
                       percent(both));
}

std::string friction_finding(const std::string& name, const Deviation& one) {
    if (one.standing != Standing::outside) return "";
    if (one.deviation < 0.0) {
        return fmt::format("Friction of stage {} is worn or its washer spring has set ({}).", name,
                           percent(one));
    }
    return fmt::format("Friction of stage {} is raised: rust, swelling or dirt ({}).", name,
                       percent(one));
}

std::string end_finding(const std::string& name, bool last, const char* side,
                        const Deviation& one) {
    if (one.standing != Standing::outside) return "";
    if (last) {
        return one.deviation < 0.0
                   ? fmt::format("The {} stop comes too early ({}).", side, angle(one))
                   : fmt::format("The {} stop comes too late ({}): worn windows or stop pins.",
                                 side, angle(one));
    }
    return fmt::format("Stage {} ends too {} on the {} side ({}).", name,
                       one.deviation < 0.0 ? "early" : "late", side, angle(one));
}

void compare_stages(const DiscFit& fit, const Disc& nominal, const DiscTolerances& tolerances,
                    DiscComparison& out) {
    const std::size_t count = fit.stages.size();
    std::vector<std::string> grave, others;
    const auto say = [](std::vector<std::string>& list, std::string text) {
        if (!text.empty()) list.push_back(std::move(text));
    };
    for (std::size_t s = 0; s < count; ++s) {
        const FittedStage& is = fit.stages[s];
        const DiscStage& due = nominal.stages[s];
        const bool first = s == 0 && count > 1, last = s + 1 == count;
        const std::string name =
            due.name.empty() ? fmt::format("{}", s + 1) : fmt::format("{} ({})", s + 1, due.name);
        const auto key = [&](const char* field) { return fmt::format("stages[{}].{}", s, field); };
        const double stiffness = first ? tolerances.first_stiffness : tolerances.stiffness;
        const double friction = first ? tolerances.first_hysteresis : tolerances.hysteresis;
        const double coast_due =
            due.coast_stiffness.si() > 0.0 ? due.coast_stiffness.si() : due.stiffness.si();
        const Deviation drive =
            deviation(key("stiffness"), is.drive_stiffness, due.stiffness.si(), stiffness, true);
        const Deviation coast =
            deviation(key("coast_stiffness"), is.coast_stiffness, coast_due, stiffness, true);
        const Deviation drive_end =
            deviation(key("drive_end"), is.drive_end, due.drive_end.si(), tolerances.end, false);
        const Deviation coast_end =
            deviation(key("coast_end"), is.coast_end, due.coast_end.si(), tolerances.end, false);
        const Deviation width = deviation(key("hysteresis"), is.hysteresis, due.hysteresis.si(),
                                          friction, due.hysteresis.si() > 0.0);
        const double preload_due = due.preload.si();
        const Deviation preload = deviation(
            key("preload"), is.preload, preload_due,
            preload_due > 0.0 ? tolerances.preload : 0.05 * due.stiffness.si() * due.drive_end.si(),
            preload_due > 0.0);
        say(grave, spring_finding(due, name, drive, coast));
        say(others, friction_finding(name, width));
        say(others, end_finding(name, last, "drive", drive_end));
        say(others, end_finding(name, last, "coast", coast_end));
        if (preload.standing == Standing::outside) {
            others.push_back(fmt::format("Preload of stage {} is too {}.", name,
                                         preload.deviation < 0.0 ? "low" : "high"));
        }
        for (const Deviation& one : {drive, coast, drive_end, coast_end, width, preload}) {
            out.deviations.push_back(one);
        }
    }
    const Deviation play =
        deviation("spline_play", fit.spline_play, nominal.spline_play.si(), tolerances.play, false);
    if (play.standing == Standing::outside && play.deviation > 0.0) {
        grave.push_back(fmt::format("Play at zero torque has grown ({}).", angle(play)));
    }
    out.deviations.push_back(play);
    out.findings = std::move(grave);
    out.findings.insert(out.findings.end(), others.begin(), others.end());
}

}  // namespace

DiscComparison compare_disc(const DiscFit& fit, const Disc& nominal,
                            const DiscTolerances& tolerances) {
    DiscComparison out;
    if (fit.stages.size() != nominal.stages.size()) {
        out.within = false;
        const bool fewer = fit.stages.size() < nominal.stages.size();
        out.findings.push_back(fmt::format(
            "The loops show {} {}, nominal has {}: {}", fit.stages.size(),
            fit.stages.size() == 1 ? "stage" : "stages", nominal.stages.size(),
            fewer ? "a stage is blocked or lost, it was not reached, or the torque range was too "
                    "coarse to see it; record the loop inside each inner stage with a fine range."
                  : "another disc, or play and jumps that look like a stage."));
        return out;
    }
    compare_stages(fit, nominal, tolerances, out);
    // A whole spring that is missing counts, even where the tolerance of a new plate is wider.
    out.within = out.findings.empty();
    return out;
}

}  // namespace damper
