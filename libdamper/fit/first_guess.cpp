// SPDX-License-Identifier: MIT
#include "libdamper/fit/first_guess.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace damper {

namespace {

constexpr double degree = std::numbers::pi / 180.0;
constexpr std::size_t most_pieces = 7;
constexpr double stop_to_stage =
    2.5;                             // at least, for a piece to be the stop; the trade reads 3 to 5
constexpr double usual_stop = 20.0;  // times the last stage, where none was reached
constexpr double unknowns_of_piece = 4.0;  // corner, slope, step, width

/// One side of the skeleton, seen outwards from zero torque.
struct Side {
    std::vector<Skeleton::Bin> bins;
    std::vector<SkeletonCut> cuts;
    std::vector<double> criterion;  ///< Of each cut
    double far = 0.0;               ///< Twist of the last bin
};

Side side_of(const Skeleton& skeleton, double zero, double sense) {
    Side side;
    for (Skeleton::Bin bin : skeleton.bins) {
        bin.twist = sense * (bin.twist - zero);
        bin.torque *= sense;
        if (bin.twist > 0.0) side.bins.push_back(bin);
    }
    std::sort(side.bins.begin(), side.bins.end(),
              [](const auto& a, const auto& b) { return a.twist < b.twist; });
    if (side.bins.empty()) return side;
    side.far = side.bins.back().twist;
    side.cuts = cuts_of(side.bins, most_pieces);
    const auto n = static_cast<double>(side.bins.size());
    for (std::size_t k = 0; k < side.cuts.size(); ++k) {
        side.criterion.push_back(
            2.0 * n * std::log(side.cuts[k].sum_of_squares / (2.0 * n) + 1e-9) +
            unknowns_of_piece * static_cast<double>(k + 1) * std::log(2.0 * n));
    }
    return side;
}

double zero_crossing(const Skeleton& skeleton) {
    const auto& bins = skeleton.bins;
    for (std::size_t i = 1; i < bins.size(); ++i) {
        if (bins[i - 1].torque <= 0.0 && bins[i].torque > 0.0) {
            return bins[i - 1].twist + (bins[i].twist - bins[i - 1].twist) * -bins[i - 1].torque /
                                           (bins[i].torque - bins[i - 1].torque);
        }
    }
    return std::abs(bins.front().torque) < std::abs(bins.back().torque) ? bins.front().twist
                                                                        : bins.back().twist;
}

/// Whether the outermost of `pieces` pieces can be the stop behind the stage inside it.
bool can_stop(const Side& side, int pieces) {
    const auto& cut = side.cuts[static_cast<std::size_t>(pieces) - 1].pieces;
    return pieces > 1 && cut.back().slope > stop_to_stage * cut[cut.size() - 2].slope;
}

double corner(const Side& side, const SkeletonPiece& inner) {
    return 0.5 * (side.bins[inner.end - 1].twist + side.bins[inner.end].twist);
}

/// What one side says of a stage.
struct StageOnSide {
    bool there = false;
    double stiffness = 0.0, width = 0.0, preload = 0.0, half = 0.0, weight = 0.0;
};

StageOnSide stage_on(const Side& side, int pieces, std::size_t s) {
    StageOnSide out;
    if (static_cast<int>(s) >= pieces) return out;
    const auto& cut = side.cuts[static_cast<std::size_t>(pieces) - 1].pieces;
    const SkeletonPiece& piece = cut[s];
    const double begin = s > 0 ? corner(side, cut[s - 1]) : 0.0;
    const bool last = s + 1 == cut.size();
    out.there = true;
    out.stiffness = std::max(piece.slope, 1e-3);
    // Nobody saw the end of the last piece: it lies beyond.
    out.width = last ? 1.15 * side.far - begin : corner(side, piece) - begin;
    out.half = std::max(piece.half, 0.0);
    out.weight = static_cast<double>(piece.end - piece.begin);
    if (s > 0) {
        const SkeletonPiece& inner = cut[s - 1];
        out.preload = std::max(
            0.0, piece.at_zero + piece.slope * begin - inner.at_zero - inner.slope * begin);
    }
    return out;
}

LoopShape shape_of(const Side& drive, const Side& coast, const LoopReach& reach, int stages) {
    LoopShape shape;
    double hardest = 0.0;
    for (int i = 0; i < stages; ++i) {
        const auto s = static_cast<std::size_t>(i);
        StageOnSide d = stage_on(drive, reach.drive, s), c = stage_on(coast, reach.coast, s);
        if (!d.there && !c.there) d = {true, 2.0 * hardest, 5.0 * degree, 0.0, 0.0, 1.0};
        if (!d.there) d.stiffness = c.stiffness, d.width = c.width;
        if (!c.there) c.stiffness = d.stiffness, c.width = d.width;
        const double weight = d.weight + c.weight;
        shape.stages.push_back(
            {.drive_stiffness = d.stiffness,
             .coast_stiffness = c.stiffness,
             .drive_width = std::max(d.width, 0.1 * degree),
             .coast_width = std::max(c.width, 0.1 * degree),
             .hysteresis = 2.0 * (d.half * d.weight + c.half * c.weight) / weight,
             .preload = (d.preload * d.weight + c.preload * c.weight) / weight});
        hardest = std::max({hardest, d.stiffness, c.stiffness});
    }
    double stop = 0.0, sides = 0.0;
    for (const auto& [side, pieces] :
         {std::pair{&drive, reach.drive}, std::pair{&coast, reach.coast}}) {
        if (pieces <= stages) continue;
        stop += side->cuts[static_cast<std::size_t>(pieces) - 1].pieces.back().slope;
        sides += 1.0;
    }
    shape.stop_stiffness =
        sides > 0.0 ? std::max(stop / sides, 1.3 * hardest) : usual_stop * hardest;
    // A preload step takes a narrow angle of its own; a first guess must leave room for it.
    for (LoopShape::Stage& stage : shape.stages) {
        const double room = 0.3 * std::min(stage.drive_width, stage.coast_width);
        stage.preload = std::min(stage.preload, room * shape.stop_stiffness);
    }
    return shape;
}

}  // namespace

std::vector<FirstGuess> first_guesses(const Skeleton& skeleton, int stages, std::size_t most) {
    std::vector<FirstGuess> all, out;
    if (skeleton.bins.size() < 3) return out;
    const double zero = zero_crossing(skeleton);
    const Side drive = side_of(skeleton, zero, 1.0);
    const Side coast = side_of(skeleton, zero, -1.0);
    const auto drive_most = static_cast<int>(drive.cuts.size());
    const auto coast_most = static_cast<int>(coast.cuts.size());
    for (int d = drive_most > 0 ? 1 : 0; d <= drive_most; ++d) {
        for (int c = coast_most > 0 ? 1 : 0; c <= coast_most; ++c) {
            if (std::max(d, c) != stages && std::max(d, c) != stages + 1) continue;
            if ((d > stages && !can_stop(drive, d)) || (c > stages && !can_stop(coast, c)))
                continue;
            FirstGuess guess;
            guess.reach = {d, c};
            guess.zero_twist = zero;
            guess.shape = shape_of(drive, coast, guess.reach, stages);
            if (d > 0) guess.score += drive.criterion[static_cast<std::size_t>(d) - 1];
            if (c > 0) guess.score += coast.criterion[static_cast<std::size_t>(c) - 1];
            all.push_back(std::move(guess));
        }
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const auto& a, const auto& b) { return a.score < b.score; });
    std::size_t with = 0, without = 0;
    for (FirstGuess& guess : all) {
        const bool stop = std::max(guess.reach.drive, guess.reach.coast) > stages;
        if ((stop ? with : without)++ < most) out.push_back(std::move(guess));
    }
    return out;
}

}  // namespace damper
