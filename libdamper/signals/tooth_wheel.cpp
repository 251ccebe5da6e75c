// SPDX-License-Identifier: MIT
#include "libdamper/signals/tooth_wheel.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/numerics/four_point.hpp"
#include "libdamper/signals/batch_means.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <map>
#include <numbers>

namespace damper {

namespace {

constexpr double turn = 2.0 * std::numbers::pi;
constexpr std::size_t neighbours = 4;  // intervals on each side that one is held against
constexpr double gap_from = 1.6;       // of the neighbours: a pulse is missing
constexpr double split_below = 0.6;    // of the neighbours: a pulse too many
constexpr int most_missing = 2;        // of a mark
constexpr int fewest_places = 4;

/// Each interval over the middle one of its neighbours.
std::vector<double> ratios(std::span<const double> time) {
    const std::size_t count = time.size() - 1;
    std::vector<double> out(count);
    std::array<double, 2 * neighbours + 1> near{};
    for (std::size_t i = 0; i < count; ++i) {
        const std::size_t low = i > neighbours ? i - neighbours : 0;
        const std::size_t high = std::min(count, i + neighbours + 1);
        std::size_t n = 0;
        for (std::size_t k = low; k < high; ++k) {
            if (k != i) near[n++] = time[k + 1] - time[k];
        }
        const auto middle = near.begin() + static_cast<std::ptrdiff_t>(n / 2);
        std::nth_element(near.begin(), middle, near.begin() + static_cast<std::ptrdiff_t>(n));
        out[i] = n > 0 ? (time[i + 1] - time[i]) / *middle : 1.0;
    }
    return out;
}

template <typename Key>
Key most_frequent(const std::map<Key, int>& counts) {
    return std::max_element(counts.begin(), counts.end(),
                            [](const auto& a, const auto& b) { return a.second < b.second; })
        ->first;
}

/// Places that an interval goes over.
int places_of(double ratio) {
    return ratio < gap_from ? 1 : static_cast<int>(std::lround(std::min(ratio, 1e6)));
}

long long revolution_of(long long place, int teeth) {
    return place >= 0 ? place / teeth : -((-place + teeth - 1) / teeth);
}

std::size_t place_in(long long place, int teeth) {
    return static_cast<std::size_t>(place - revolution_of(place, teeth) * teeth);
}

/// Pulses without those too many: where two intervals together make one.
std::vector<double> without_added(std::span<const double> time, int& added) {
    std::vector<double> kept(time.begin(), time.end());
    for (int pass = 0; pass < 2; ++pass) {
        const std::vector<double> ratio = ratios(kept);
        std::vector<double> next{kept.front()};
        for (std::size_t i = 1; i < kept.size(); ++i) {
            const bool split = i + 1 < kept.size() && ratio[i - 1] + ratio[i] < gap_from &&
                               std::min(ratio[i - 1], ratio[i]) < split_below;
            if (split) {
                ++added;
                next.push_back(kept[i + 1]);
                ++i;
            } else {
                next.push_back(kept[i]);
            }
        }
        if (next.size() == kept.size()) break;
        kept = std::move(next);
    }
    return kept;
}

}  // namespace

ToothWheel find_wheel(std::span<const double> time) {
    if (time.size() < 3 * fewest_places) return {};
    const std::vector<double> ratio = ratios(time);
    std::map<int, int> between, wide;
    std::size_t last = 0;
    bool any = false;
    for (std::size_t i = 0; i < ratio.size(); ++i) {
        if (ratio[i] < gap_from) continue;
        ++wide[std::min(places_of(ratio[i]), most_missing + 2)];
        if (any) ++between[static_cast<int>(i - last)];
        last = i;
        any = true;
    }
    if (between.empty()) return {};
    const int pulses = most_frequent(between);
    const int missing = most_frequent(wide) - 1;
    int all = 0;
    for (const auto& [count, times] : between) all += times;
    const bool regular = 2 * between[pulses] > all && missing >= 1 && missing <= most_missing;
    // One gap in a revolution of few teeth could as well be a drop-out.
    if (!regular || between[pulses] < 2 || pulses + missing < fewest_places) return {};
    return {pulses + missing, missing};
}

PlacedPulses place_pulses(std::span<const double> time, ToothWheel wheel) {
    if (wheel.teeth < fewest_places || wheel.missing < 0 || wheel.missing > most_missing ||
        wheel.missing >= wheel.teeth) {
        throw ModelError(fmt::format(
            "a wheel of {} places, {} of them without a tooth, cannot be counted; it takes at "
            "least {} places, and at most {} missing",
            wheel.teeth, wheel.missing, fewest_places, most_missing));
    }
    const int present = wheel.teeth - wheel.missing;
    if (time.size() < 2 * static_cast<std::size_t>(present) + 1) {
        throw ModelError(
            fmt::format("{} pulses are less than two revolutions of a wheel of {} teeth",
                        time.size(), present));
    }
    PlacedPulses out{.wheel = wheel, .time = {}, .place = {}};
    out.time = without_added(time, out.added);
    const std::vector<double> ratio = ratios(out.time);
    // The mark is looked for among the wide gaps: the phase that most of them have.
    std::map<std::size_t, int> phases;
    std::vector<long long> at{0};
    for (const double r : ratio) {
        if (wheel.missing > 0 && places_of(r) == wheel.missing + 1) {
            ++phases[place_in(at.back() + wheel.missing + 1, wheel.teeth)];
        }
        at.push_back(at.back() + places_of(r));
    }
    const std::size_t phase = phases.empty() ? 0 : most_frequent(phases);
    for (long long& place : at) {
        place += wheel.teeth - static_cast<long long>(phase);
    }
    for (std::size_t i = 0; i < ratio.size(); ++i) {
        const int over = places_of(ratio[i]) - 1;
        const std::size_t next = place_in(at[i + 1], wheel.teeth);
        const bool mark = wheel.missing > 0 && over == wheel.missing;
        if (mark && next == 0) {
            ++out.marks;
            continue;
        }
        if (mark) ++out.misplaced_marks;
        out.lost += over;
        // Without a gap where the mark should be, the count is wrong as well.
        if (wheel.missing > 0 && over == 0 && next >= static_cast<std::size_t>(present) &&
            next < static_cast<std::size_t>(wheel.teeth)) {
            ++out.misplaced_marks;
        }
    }
    out.place = std::move(at);
    return out;
}

double pattern_share(const PlacedPulses& pulses, int teeth) {
    // ln of interval per place less its mean over a revolution around it.
    const auto window = static_cast<std::size_t>(std::max(teeth, fewest_places));
    const std::size_t count = pulses.time.size() - 1;
    if (count < 3 * window) return 0.0;
    std::vector<double> level(count), sum(count + 1, 0.0);
    for (std::size_t i = 0; i < count; ++i) {
        const auto over = static_cast<double>(pulses.place[i + 1] - pulses.place[i]);
        level[i] = std::log((pulses.time[i + 1] - pulses.time[i]) / over);
        sum[i + 1] = sum[i] + level[i];
    }
    std::vector<double> folded(window, 0.0), times(window, 0.0);
    double all = 0.0, n = 0.0;
    for (std::size_t i = window; i + window < count; ++i) {
        const std::size_t low = i - window / 2, high = low + window;
        const double rest = level[i] - (sum[high] - sum[low]) / static_cast<double>(window);
        const std::size_t at = place_in(pulses.place[i], teeth);
        folded[at] += rest;
        times[at] += 1.0;
        all += rest * rest;
        n += 1.0;
    }
    double explained = 0.0;
    for (std::size_t k = 0; k < window; ++k) {
        if (times[k] > 0.0) explained += folded[k] * folded[k] / times[k];
    }
    if (!(all > 0.0)) return 0.0;
    // Chance explains places / values of it.
    const double chance = static_cast<double>(window) / n;
    return std::max(0.0, (explained / all - chance) / std::max(1.0 - chance, 0.1));
}

int better_count(const PlacedPulses& pulses) {
    const double own = pattern_share(pulses, pulses.wheel.teeth);
    constexpr int around = 4;
    constexpr double clear_share = 0.3, clear_factor = 2.0;
    int best = 0;
    double most = std::max(clear_share, clear_factor * own);
    for (int teeth = std::max(fewest_places, pulses.wheel.teeth - around);
         teeth <= pulses.wheel.teeth + around; ++teeth) {
        if (teeth == pulses.wheel.teeth) continue;
        const double share = pattern_share(pulses, teeth);
        if (share > most) {
            most = share;
            best = teeth;
        }
    }
    return best;
}

ToothPattern tooth_pattern(const PlacedPulses& pulses, std::span<const int> kept) {
    const int teeth = pulses.wheel.teeth;
    const double pitch = turn / teeth;
    std::vector<double> anchor_time, anchor_angle;
    for (std::size_t i = 0; i < pulses.time.size(); ++i) {
        if (place_in(pulses.place[i], teeth) != 0) continue;
        anchor_time.push_back(pulses.time[i]);
        anchor_angle.push_back(pitch * static_cast<double>(pulses.place[i]));
    }
    if (anchor_time.size() < 5) {
        throw ModelError(fmt::format(
            "{} whole revolutions are too few to tell the teeth's spacing from the motion; it "
            "takes at least 4",
            anchor_time.empty() ? 0 : anchor_time.size() - 1));
    }
    // An even number of revolutions, so that half orders cancel.
    const std::size_t revolutions = (anchor_time.size() - 1) / 2 * 2;
    const auto places = static_cast<std::size_t>(teeth);
    // Two revolutions make one mean, in which a half order cancels; their scatter is that of the
    // pattern.
    const std::size_t pairs = revolutions / 2;
    const long long first = std::llround(anchor_angle.front() / turn);
    std::vector<double> sum(places * pairs, 0.0);
    std::vector<int> times(places * pairs, 0);
    std::size_t hint = 0;
    for (std::size_t i = 0; i < pulses.time.size(); ++i) {
        const double t = pulses.time[i];
        const long long pair = (revolution_of(pulses.place[i], teeth) - first) / 2;
        if (t < anchor_time.front() || pair < 0 || pair >= static_cast<long long>(pairs)) continue;
        const std::size_t at =
            place_in(pulses.place[i], teeth) * pairs + static_cast<std::size_t>(pair);
        sum[at] += four_point(anchor_time, anchor_angle, t, hint) -
                   pitch * static_cast<double>(pulses.place[i]);
        ++times[at];
    }
    ToothPattern out{.wheel = pulses.wheel, .error = std::vector<double>(places, 0.0)};
    out.revolutions = static_cast<int>(revolutions);
    std::vector<std::size_t> seen;
    double scatter = 0.0;
    for (std::size_t k = 0; k < places; ++k) {
        double mean = 0.0, squares = 0.0, count = 0.0;
        for (std::size_t i = k * pairs; i < (k + 1) * pairs; ++i) {
            if (times[i] != 2) continue;  // a lost pulse
            mean += 0.5 * sum[i];
            squares += 0.25 * sum[i] * sum[i];
            count += 1.0;
        }
        if (!(count > 1.0)) continue;
        seen.push_back(k);
        out.error[k] = mean / count;
        scatter += std::max(0.0, squares - mean * mean / count) / (count - 1.0) / count;
    }
    // What the engine may do is fitted together with the level and left to the motion.
    std::vector<int> orders;
    for (const int order : kept) {
        if (order >= 1 && 2 * order < teeth) orders.push_back(order);
    }
    const auto rows = static_cast<Eigen::Index>(seen.size());
    const auto columns = static_cast<Eigen::Index>(1 + 2 * orders.size());
    if (columns >= rows) {
        throw ModelError(fmt::format("{} teeth are too few to leave {} orders to the motion",
                                     seen.size(), orders.size()));
    }
    Eigen::MatrixXd basis(rows, columns);
    Eigen::VectorXd error(rows);
    for (Eigen::Index r = 0; r < rows; ++r) {
        const std::size_t k = seen[static_cast<std::size_t>(r)];
        const double angle = pitch * static_cast<double>(k);
        basis(r, 0) = 1.0;
        for (std::size_t c = 0; c < orders.size(); ++c) {
            const auto column = static_cast<Eigen::Index>(1 + 2 * c);
            basis(r, column) = std::cos(orders[c] * angle);
            basis(r, column + 1) = std::sin(orders[c] * angle);
        }
        error(r) = out.error[k];
    }
    const Eigen::VectorXd rest = error - basis * basis.colPivHouseholderQr().solve(error);
    for (Eigen::Index r = 0; r < rows; ++r) out.error[seen[static_cast<std::size_t>(r)]] = rest(r);
    out.rms = std::sqrt(rest.squaredNorm() / static_cast<double>(rows));
    out.half_width = student_t(0.95, static_cast<double>(pairs - 1)) *
                     std::sqrt(scatter / static_cast<double>(rows));
    return out;
}

std::vector<double> pulse_angles(const PlacedPulses& pulses, const ToothPattern* pattern) {
    const bool same = pattern == nullptr || (pattern->wheel.teeth == pulses.wheel.teeth &&
                                             pattern->wheel.missing == pulses.wheel.missing);
    if (!same) throw ModelError("the tooth pattern belongs to another wheel");
    const double pitch = turn / pulses.wheel.teeth;
    std::vector<double> out;
    out.reserve(pulses.time.size());
    for (const long long place : pulses.place) {
        const double error =
            pattern != nullptr ? pattern->error[place_in(place, pulses.wheel.teeth)] : 0.0;
        out.push_back(pitch * static_cast<double>(place) + error);
    }
    return out;
}

}  // namespace damper
