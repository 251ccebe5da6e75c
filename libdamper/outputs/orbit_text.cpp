// SPDX-License-Identifier: MIT
#include "libdamper/outputs/orbit_text.hpp"

#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/orbit_axis.hpp"
#include "libdamper/outputs/text_layout.hpp"
#include "libdamper/outputs/visible_text.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <set>
#include <string>

namespace damper {

namespace {

constexpr std::size_t rows_shown = 21;
constexpr std::size_t flywheel = 0, input = 1, acceleration = 2, half_shaft = 4;  // signals

double rpm(double speed) {
    return speed * 30.0 / std::numbers::pi;
}

std::size_t firing(const OrbitRecord& record) {
    std::size_t best = 0;
    for (std::size_t k = 0; k < record.orders.size(); ++k) {
        if (std::abs(record.orders[k] - record.firing_order) <
            std::abs(record.orders[best] - record.firing_order)) {
            best = k;
        }
    }
    return best;
}

double largest(const std::vector<double>& values) {
    return values.empty() ? 0.0 : *std::max_element(values.begin(), values.end());
}

std::string what_it_is(const OrbitRecord& record) {
    const OrbitAxis axis(record);
    std::string range =
        visible_text(axis.span(std::min(record.from, record.to), std::max(record.from, record.to)));
    if (!record.key.empty()) {
        range = fmt::format("{:.0f} rpm; {} from {}", rpm(record.engine_speed),
                            visible_text(record.key), range);
    }
    if (record.curve == "neutral") return "standing in neutral, engine at " + range;
    if (record.curve == "overrun") {
        return fmt::format("overrun in gear {}, foot off, {}", visible_text(record.gear), range);
    }
    return fmt::format("pulling in gear {} with {:.0f} % of the peak torque, {}",
                       visible_text(record.gear), 100.0 * record.load, range);
}

/// Points evenly over the speeds, and folds.
std::set<std::size_t> rows_of(const OrbitRecord& record) {
    std::set<std::size_t> rows;
    if (record.points.empty()) return rows;
    const auto by_parameter = [](const OrbitPoint& a, const OrbitPoint& b) {
        return a.parameter < b.parameter;
    };
    const auto [low, high] =
        std::minmax_element(record.points.begin(), record.points.end(), by_parameter);
    for (std::size_t r = 0; r < rows_shown; ++r) {
        const double wanted = low->parameter + (high->parameter - low->parameter) *
                                                   static_cast<double>(r) / (rows_shown - 1.0);
        const auto nearest = std::min_element(
            record.points.begin(), record.points.end(), [&](const auto& a, const auto& b) {
                return std::abs(a.parameter - wanted) < std::abs(b.parameter - wanted);
            });
        rows.insert(static_cast<std::size_t>(nearest - record.points.begin()));
    }
    for (std::size_t k = 0; k < record.points.size(); ++k) {
        if (record.points[k].is_fold) rows.insert(k);
    }
    return rows;
}

/// Behind a row, if it is not by harmonic balance.
std::string found_how(const OrbitPoint& point) {
    if (point.method == OrbitMethod::balance) return {};
    return point.periods == 1 ? ", shot" : fmt::format(", shot, {} periods", point.periods);
}

std::string methods(const OrbitRecord& record) {
    std::size_t shot = 0;
    for (const OrbitPoint& p : record.points) shot += p.method == OrbitMethod::shooting ? 1 : 0;
    if (shot == 0) return {};
    return fmt::format(
        "\n{} of {} motions were found by shooting (exact runs that close), marked \"shot\": "
        "there\n"
        "contacts open and close too sharply for harmonic balance.\n",
        shot, record.points.size());
}

std::string table(const OrbitRecord& record) {
    const std::size_t order = firing(record);
    const bool in_gear = record.signals.size() > half_shaft;
    std::string text = fmt::format(
        "Amplitudes (0 to peak) at the firing order, {:g} per turn; rattle: inertia torque over\n"
        "drag at the loose gear that is worst off, above 1 its teeth part\n\n",
        record.orders[order]);
    text += fmt::format("{:>8}{:>11}{:>11}{:>11}{:>13}{:>12}{:>9}  {}\n",
                        record.key.empty() ? "engine" : "value", "flywheel", "gearbox in",
                        "in/flywh.", "gearbox in", in_gear ? "half shaft" : "", "rattle", "stable");
    text +=
        fmt::format("{:>8}{:>11}{:>11}{:>11}{:>13}{:>12}{:>9}\n", record.key.empty() ? "[rpm]" : "",
                    "[rpm]", "[rpm]", "[–]", "[rad/s²]", in_gear ? "[N m]" : "", "[–]");
    const OrbitAxis axis(record);
    const std::set<std::size_t> chosen = rows_of(record);
    for (auto row = chosen.rbegin(); row != chosen.rend(); ++row) {
        const OrbitPoint& p = record.points[*row];
        const double a = p.amplitude[flywheel][order];
        const double b = p.amplitude[input][order];
        text += fmt::format("{:>8}{:>11.2f}{:>11.2f}{:>11.3f}{:>13.1f}{:>12}{:>9.2f}  {}{}{}\n",
                            axis.figure(p.parameter), rpm(a), rpm(b), a > 0.0 ? b / a : 0.0,
                            p.amplitude[acceleration][order],
                            in_gear ? fmt::format("{:.1f}", p.amplitude[half_shaft][order]) : "",
                            largest(p.rattle_ratio),
                            !p.judged  ? "not known"
                            : p.stable ? "yes"
                                       : "no",
                            p.is_fold ? ", turns here" : "", found_how(p));
    }
    return text;
}

std::string peaks(const OrbitRecord& record) {
    const std::size_t order = firing(record);
    const OrbitAxis axis(record);
    std::string text;
    const auto value = [&](std::size_t k) { return record.points[k].amplitude[input][order]; };
    for (std::size_t k = 1; k + 1 < record.points.size(); ++k) {
        if (value(k) > value(k - 1) && value(k) > value(k + 1)) {
            const std::string at = axis.figure(record.points[k].parameter);
            text += fmt::format("  a peak of {:.1f} rpm at {} {}\n", rpm(value(k)), at,
                                visible_text(axis.units()));
        }
    }
    if (text.empty()) text = "  no peak inside the range: it rises to one of its ends\n";
    return "\nThe gearbox input at the firing order:\n" + text;
}

/// Speeds at which each loose gear's teeth would part, as ranges.
std::string rattling(const OrbitRecord& record) {
    if (record.gears.empty() || record.points.empty()) return {};
    std::string text = record.loose_gears == "held"
                           ? "\nLoose gears, whose teeth the curve keeps in contact, would part:\n"
                           : "\nLoose gears whose teeth part:\n";
    const OrbitAxis axis(record);
    for (std::size_t g = 0; g < record.gears.size(); ++g) {
        std::string ranges;
        double from = 0.0;
        bool inside = false;
        const auto close = [&](double at) {
            ranges += fmt::format("{}{}", ranges.empty() ? "" : ", ",
                                  visible_text(axis.span(std::min(from, at), std::max(from, at))));
        };
        for (const OrbitPoint& point : record.points) {
            const bool parts = point.rattle_ratio[g] > 1.0;
            if (parts && !inside) from = point.parameter;
            if (!parts && inside) close(point.parameter);
            inside = parts;
        }
        if (inside) close(record.points.back().parameter);
        text += fmt::format("  {:<16}{}\n", visible_text(record.gears[g]),
                            ranges.empty() ? "nowhere" : ranges);
    }
    return text;
}

std::string jump_text(const OrbitRecord& record, const OrbitJump& jump) {
    const OrbitAxis axis(record);
    if (record.key.empty()) {
        return fmt::format(
            "\nUp-sweep and down-sweep differ between {:.1f} and {:.1f} rpm: going up, the motion\n"
            "jumps at the upper speed, going down at the lower one.\n",
            rpm(jump.low), rpm(jump.high));
    }
    return fmt::format(
        "\nUp-sweep and down-sweep differ from {}: going up, the motion\n"
        "jumps at the upper value, going down at the lower one.\n",
        visible_text(axis.span(jump.low, jump.high)));
}

std::string jumps(const OrbitRecord& record) {
    std::string text;
    for (const OrbitJump& jump : record.jumps) {
        text += jump_text(record, jump);
    }
    return text;
}

std::string checks(const OrbitRecord& record) {
    if (record.checks.empty()) return {};
    std::string text = fmt::format(
        "\nExact runs begun on the curve, loose gears free: largest order of the gearbox input\n\n"
        "{:>8}{:>13}{:>13}{:>12}  {}\n{:>8}{:>13}{:>13}{:>12}\n",
        record.key.empty() ? "engine" : "value", "curve", "run", "deviation", "run repeats",
        record.key.empty() ? "[rpm]" : "", "[rpm]", "[rpm]", "[%]");
    const OrbitAxis axis(record);
    for (const OrbitCheck& check : record.checks) {
        if (!check.finished) {
            text += fmt::format("{:>8}  the run ended early: {}\n", axis.figure(check.parameter),
                                visible_text(check.trouble));
            continue;
        }
        const auto k = static_cast<std::size_t>(
            std::max_element(check.curve.begin(), check.curve.end()) - check.curve.begin());
        text += fmt::format("{:>8}{:>13.3f}{:>13.3f}{:>12.3f}  {}\n", axis.figure(check.parameter),
                            rpm(check.curve[k]), rpm(check.run[k]), 100.0 * check.deviation,
                            repeats_text(check));
    }
    return text;
}

}  // namespace

std::string unsettled_text(const OrbitUnsettled& run) {
    return fmt::format("{} after {} {}{}", percent_text(run.change), run.periods,
                       run.periods == 1 ? "period" : "periods",
                       run.repeats ? ", none was closed" : "");
}

std::vector<std::size_t> some_unsettled(const OrbitRecord& record) {
    constexpr std::size_t most = 12;
    const std::size_t count = record.unsettled.size();
    std::vector<std::size_t> out;
    for (std::size_t k = 0; k < std::min(count, most); ++k) {
        out.push_back(count <= most ? k : k * (count - 1) / (most - 1));
    }
    return out;
}

namespace {

std::string unsettled(const OrbitRecord& record) {
    if (record.unsettled.empty()) return {};
    std::string text = fmt::format(
        "\nWhere nothing that repeats was found, an exact run gives at the firing order:\n\n"
        "{:>8}{:>13}  {}\n{:>8}{:>13}\n",
        record.key.empty() ? "engine" : "value", "gearbox in", "changes least",
        record.key.empty() ? "[rpm]" : "", "[rpm]");
    const OrbitAxis axis(record);
    for (const std::size_t k : some_unsettled(record)) {
        const OrbitUnsettled& run = record.unsettled[k];
        text += fmt::format("{:>8}{:>13.3f}  by {}\n", axis.figure(run.parameter),
                            rpm(run.amplitude), unsettled_text(run));
    }
    return text;
}

}  // namespace

std::string repeats_text(const OrbitCheck& check) {
    if (!check.periodic) {
        return fmt::format("no, up to 8 periods: {} of its swing changes at least",
                           percent_text(check.period_change));
    }
    return check.periods == 1 ? "yes" : fmt::format("every {} periods", check.periods);
}

std::string orbit_text(const OrbitRecord& record) {
    const OrbitAxis axis(record);
    std::string text = fmt::format("Steady motion over {}: {}\n{}, {}\n\n",
                                   visible_text(axis.title()), visible_text(record.identity.title),
                                   visible_text(record.identity.vehicle), what_it_is(record));
    if (!record.points.empty()) {
        text += table(record) + methods(record) + peaks(record) + rattling(record) + jumps(record) +
                checks(record);
    }
    text += unsettled(record);
    for (const OrbitGap& gap : record.gaps) {
        text += fmt::format("\nNo curve from {}: {}.\n", visible_text(axis.span(gap.low, gap.high)),
                            visible_text(gap.why));
    }
    if (record.stopped) text += "\nStopped before the end.\n";
    text +=
        "\nAn estimate from a lumped model at held mean speed. A run in time tells what is beyond\n"
        "the curve: damper run.\n";
    return text;
}

}  // namespace damper
