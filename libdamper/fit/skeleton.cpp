// SPDX-License-Identifier: MIT
#include "libdamper/fit/skeleton.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace damper {

namespace {

constexpr std::size_t bins_at_most = 240;
constexpr std::size_t fewest_bins_in_piece = 3;
constexpr double groups_per_bin = 2.0;  // of each way, on average
constexpr double edge = 0.002;          // of the range at the turning points, where friction turns

struct Way {
    double twist = 0.0, torque = 0.0, samples = 0.0;
};

/// Weighted sums over bins before an index, so that any piece is a difference of two of them.
struct Sums {
    double w = 0.0, x = 0.0, xx = 0.0, y = 0.0, xy = 0.0, yy = 0.0, h = 0.0, hh = 0.0;

    [[nodiscard]] Sums without(const Sums& o) const {
        return {w - o.w, x - o.x, xx - o.xx, y - o.y, xy - o.xy, yy - o.yy, h - o.h, hh - o.hh};
    }
};

class Pieces {
  public:
    explicit Pieces(const std::vector<Skeleton::Bin>& bins) : sums_(bins.size() + 1) {
        // About the middle, so that squares do not cancel.
        for (const auto& bin : bins) {
            middle_ += bin.twist / static_cast<double>(bins.size());
            level_ += bin.torque / static_cast<double>(bins.size());
        }
        for (std::size_t i = 0; i < bins.size(); ++i) {
            const double w = 1.0 / bins[i].variance;
            const double x = bins[i].twist - middle_;
            const double y = bins[i].torque - level_;
            const double h = bins[i].half;
            const Sums& s = sums_[i];
            sums_[i + 1] = {s.w + w,          s.x + w * x,      s.xx + w * x * x, s.y + w * y,
                            s.xy + w * x * y, s.yy + w * y * y, s.h + w * h,      s.hh + w * h * h};
        }
    }

    [[nodiscard]] SkeletonPiece piece(std::size_t begin, std::size_t end) const {
        const Sums s = sums_[end].without(sums_[begin]);
        const double spread = s.xx - s.x * s.x / s.w;
        SkeletonPiece out{.begin = begin, .end = end, .half = s.h / s.w};
        out.slope = spread > 0.0 ? (s.xy - s.x * s.y / s.w) / spread : 0.0;
        out.at_zero = level_ + s.y / s.w - out.slope * (s.x / s.w + middle_);
        return out;
    }

    [[nodiscard]] double misfit(std::size_t begin, std::size_t end) const {
        const Sums s = sums_[end].without(sums_[begin]);
        const double spread = s.xx - s.x * s.x / s.w;
        const double both = s.xy - s.x * s.y / s.w;
        const double line = s.yy - s.y * s.y / s.w - (spread > 0.0 ? both * both / spread : 0.0);
        return std::max(line, 0.0) + std::max(s.hh - s.h * s.h / s.w, 0.0);
    }

  private:
    std::vector<Sums> sums_;
    double middle_ = 0.0, level_ = 0.0;
};

/// Variances, and half widths at one twist: the two ways of a bin do not lie at the very same one.
/// A bin that holds a corner is off by more than noise; its bend counts as such.
void add_noise(const GroupedRun& run, const std::vector<double>& apart,
               std::vector<Skeleton::Bin>& bins) {
    const std::vector<Skeleton::Bin> raw = bins;
    const double least = 1e-5 * run.torque_range;
    for (std::size_t i = 0; i < bins.size(); ++i) {
        const auto& before = raw[i > 0 ? i - 1 : i];
        const auto& behind = raw[std::min(i + 1, bins.size() - 1)];
        const double way = behind.twist - before.twist;
        const double slope = way > 0.0 ? (behind.torque - before.torque) / way : 0.0;
        bins[i].half -= 0.5 * slope * apart[i];
        const double noise =
            run.torque_noise * run.torque_noise + slope * slope * run.twist_noise * run.twist_noise;
        bins[i].variance = bins[i].variance * noise + least * least;
        const double bend = i > 0 && i + 1 < bins.size()
                                ? raw[i].torque - 0.5 * (before.torque + behind.torque)
                                : 0.0;
        if (bend * bend > 16.0 * bins[i].variance) bins[i].variance += 0.25 * bend * bend;
    }
}

}  // namespace

Skeleton skeleton_of(const GroupedRun& run) {
    const double per_way = 0.5 * static_cast<double>(run.groups.size()) / groups_per_bin;
    const auto count =
        static_cast<std::size_t>(std::clamp(per_way, 8.0, static_cast<double>(bins_at_most)));
    const double margin = edge * (run.high - run.low);
    const double low = run.low + margin;
    const double width = (run.high - run.low - 2.0 * margin) / static_cast<double>(count);
    std::vector<Way> up(count), down(count);
    for (const BenchGroup& group : run.groups) {
        const double place = (group.twist - low) / width;
        if (place < 0.0 || place >= static_cast<double>(count)) continue;
        auto& ways = run.branches[group.branch].rising() ? up : down;
        Way& way = ways[static_cast<std::size_t>(place)];
        way.twist += group.samples * group.twist;
        way.torque += group.samples * group.torque;
        way.samples += group.samples;
    }
    Skeleton out;
    std::vector<double> apart;  // twist of the rising way less that of the falling one
    for (std::size_t i = 0; i < count; ++i) {
        if (up[i].samples == 0.0 || down[i].samples == 0.0) continue;
        const double up_twist = up[i].twist / up[i].samples;
        const double down_twist = down[i].twist / down[i].samples;
        const double up_torque = up[i].torque / up[i].samples;
        const double down_torque = down[i].torque / down[i].samples;
        apart.push_back(up_twist - down_twist);
        out.bins.push_back({0.5 * (up_twist + down_twist), 0.5 * (up_torque + down_torque),
                            0.5 * (up_torque - down_torque),
                            0.25 * (1.0 / up[i].samples + 1.0 / down[i].samples)});
    }
    add_noise(run, apart, out.bins);
    return out;
}

Skeleton joined(const std::vector<Skeleton>& parts) {
    Skeleton out = parts.front();
    for (std::size_t p = 1; p < parts.size(); ++p) {
        const std::vector<Skeleton::Bin>& inner = parts[p].bins;
        if (inner.size() < fewest_bins_in_piece) continue;
        const double low = inner.front().twist, high = inner.back().twist;
        double inside = 0.0, weight = 0.0, own = 0.0;
        std::vector<Skeleton::Bin> kept;
        double known = std::numeric_limits<double>::infinity();
        for (const auto& bin : out.bins) {
            if (bin.twist < low || bin.twist > high) {
                kept.push_back(bin);
                continue;
            }
            // The inner run at the twist of this bin.
            const auto next = std::lower_bound(
                inner.begin(), inner.end(), bin.twist,
                [](const Skeleton::Bin& one, double twist) { return one.twist < twist; });
            const auto& b = next == inner.begin() ? *next : *(next - 1);
            const double at = b.torque + (next != inner.begin() && next->twist > b.twist
                                              ? (next->torque - b.torque) * (bin.twist - b.twist) /
                                                    (next->twist - b.twist)
                                              : 0.0);
            inside += (bin.torque - at) / bin.variance;
            weight += 1.0 / bin.variance;
            known = std::min(known, bin.variance);
        }
        for (const auto& bin : inner) own = std::max(own, bin.variance);
        if (weight == 0.0 || own > known) continue;
        for (Skeleton::Bin& bin : kept) bin.torque -= inside / weight;
        kept.insert(kept.end(), inner.begin(), inner.end());
        std::sort(kept.begin(), kept.end(),
                  [](const auto& a, const auto& b) { return a.twist < b.twist; });
        out.bins = std::move(kept);
    }
    return out;
}

Skeleton skeleton_of_all(const std::vector<GroupedRun>& runs) {
    std::vector<const GroupedRun*> widest;
    for (const GroupedRun& run : runs) widest.push_back(&run);
    std::stable_sort(widest.begin(), widest.end(), [](const auto* a, const auto* b) {
        return a->high - a->low > b->high - b->low;
    });
    std::vector<Skeleton> parts;
    for (const GroupedRun* run : widest) parts.push_back(skeleton_of(*run));
    return joined(parts);
}

std::vector<SkeletonCut> cuts_of(const std::vector<Skeleton::Bin>& bins, std::size_t most) {
    constexpr std::size_t least = fewest_bins_in_piece;
    const std::size_t n = bins.size();
    std::vector<SkeletonCut> out;
    if (n < least) return out;
    const Pieces pieces(bins);
    const double far = std::numeric_limits<double>::infinity();
    most = std::min(most, n / least);
    // best[k][j]: misfit of the first j bins in k + 1 pieces; from[k][j]: where the last one
    // begins.
    std::vector<std::vector<double>> best(most, std::vector<double>(n + 1, far));
    std::vector<std::vector<std::size_t>> from(most, std::vector<std::size_t>(n + 1, 0));
    for (std::size_t j = least; j <= n; ++j) best[0][j] = pieces.misfit(0, j);
    for (std::size_t k = 1; k < most; ++k) {
        for (std::size_t j = (k + 1) * least; j <= n; ++j) {
            for (std::size_t i = k * least; i + least <= j; ++i) {
                const double sum = best[k - 1][i] + pieces.misfit(i, j);
                if (sum < best[k][j]) {
                    best[k][j] = sum;
                    from[k][j] = i;
                }
            }
        }
    }
    for (std::size_t k = 0; k < most; ++k) {
        SkeletonCut cut;
        cut.sum_of_squares = best[k][n];
        std::size_t end = n;
        for (std::size_t level = k + 1; level-- > 0;) {
            const std::size_t begin = level > 0 ? from[level][end] : 0;
            cut.pieces.insert(cut.pieces.begin(), pieces.piece(begin, end));
            end = begin;
        }
        out.push_back(std::move(cut));
    }
    return out;
}

}  // namespace damper
