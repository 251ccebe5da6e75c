// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/disc.hpp"

#include <vector>

namespace damper {

/// Torque over twist between two turning points of the bench: straight from corner to corner.
struct BenchPath {
    std::vector<double> twist;   ///< [rad], in the order of the way
    std::vector<double> torque;  ///< [N m]
};

/// Means of the torque over stretches of a path that follow each other along it.
class PathMeans {
  public:
    explicit PathMeans(const BenchPath& path) : path_(path) {}

    struct Mean {
        double torque = 0.0;  ///< [N m]
        double slope = 0.0;   ///< Rise of the torque over the stretch per twist [N m/rad]
    };
    /// Over the stretch of length `span` about `twist`; beyond its ends the path goes on straight.
    [[nodiscard]] Mean over(double twist, double span);

  private:
    struct At {
        double torque = 0.0, slope = 0.0, area = 0.0;  ///< Area from the begin of the path
    };
    [[nodiscard]] At at(double twist);

    const BenchPath& path_;
    std::size_t piece_ = 0;
    double area_ = 0.0;  ///< Up to the begin of the piece
};

/// A disc turned slowly to and fro: the cells of disc_cells() in closed form, for a search that
/// turns thousands of discs. In series all cells carry the same torque, so that the way of each
/// over torque is straight between its own corners, and the twists add up.
///
/// Gives what QuasiStatic gives for the same cells and the play of the spline (a test holds the two
/// against each other); friction with play of its own is left to that one.
class DiscBench {
  public:
    /// At rest, friction relaxed. Throws ModelError if the disc cannot be (see stage_cells()) or
    /// its friction has play.
    explicit DiscBench(const Disc& disc);

    /// Turns to `twist` [rad] and writes the corners of the way into `path`, its ends included.
    void move_to(double twist, BenchPath& path);

    [[nodiscard]] double twist() const { return twist_; }
    [[nodiscard]] double torque() const { return torque_; }

  private:
    struct Corner {
        double torque = 0.0, deflection = 0.0;
        double compliance = 0.0;  ///< From here to the next corner [rad/N m]
    };
    struct Moving {
        StageCell cell;
        double deflection = 0.0, friction = 0.0;
        std::vector<Corner> way;
        std::size_t at = 0;
    };
    void plan(Moving& one, double sense) const;
    void settle(Moving& one, double sense) const;

    std::vector<Moving> cells_;
    double play_ = 0.0, play_contact_ = 0.0;
    double play_deflection_ = 0.0;
    double twist_ = 0.0, torque_ = 0.0;
};

}  // namespace damper
