// SPDX-License-Identifier: MIT
#pragma once

#include "tests/peers/idle_car.hpp"

#include <cstddef>
#include <vector>

namespace damper::peers {

/// The equations of an idling car with what switches them, for any integrator that can find roots.
///
/// y = [ engine angle | disc twist | lash twists | engine speed | input speed | gear speeds ],
/// angles and speeds less the uniform rotation. Between two switches the right-hand side is smooth:
/// which piece of its spring each stage is on, which washers slip and which teeth press changes in
/// `pass` alone. Nothing is allocated after the construction.
class IdleMotion {
  public:
    /// Keeps a reference; `car` must outlive it.
    explicit IdleMotion(const IdleCar& car);

    [[nodiscard]] std::size_t size() const { return 4 + 2 * n_; }
    [[nodiscard]] std::size_t angles() const { return 2 + n_; }  ///< The first ones of y.
    [[nodiscard]] std::size_t input_speed() const { return 3 + n_; }
    [[nodiscard]] const std::vector<double>& start() const { return start_; }
    [[nodiscard]] std::size_t guards() const { return 3 * car_.stages.size() + 2 * n_; }

    /// y' at time t [s].
    void slope(double t, const double* y, double* dy);

    /// What is above zero while the present phase holds: distances to the ends of the stages'
    /// pieces, washers, teeth.
    void guards(const double* y, double* g) const;

    /// Goes into the next phase where a guard fell through zero (`fell` is not 0 there).
    void pass(double t, const double* y, const int* fell, std::vector<Course::Touch>& touches);

    long evaluations = 0;

  private:
    enum class Washer { grips, slips_up, slips_down };
    enum class Teeth {
        free,     ///< In their play.
        presses,  ///< On a face.
        parts,    ///< Still inside a face; what presses no more does not pull, oil or not.
    };
    /// What stays constant between two switches.
    struct StagePhase {
        std::size_t piece = 2;  ///< Of its spring, 0…4 from the coast stop to the drive stop.
        Washer washer = Washer::grips;
        double rests = 0.0;  ///< Where the washer rests [rad].
        /// Torque of the stage over its own twist x: b + k·x.
        double b = 0.0, k = 1.0;
    };
    struct GearPhase {
        Teeth teeth = Teeth::presses;  ///< Drag holds the gears …
        std::size_t face = 1;          ///< … against the drive face; 0 is the coast face.
    };

    [[nodiscard]] double engine_torque(double angle) const;
    [[nodiscard]] double disc_spring(double twist) const { return disc_b_ + disc_k_ * twist; }
    [[nodiscard]] double penetration(std::size_t i, std::size_t face, double twist) const {
        return (face == 1 ? twist : -twist) - car_.gears[i].half_gap;
    }
    [[nodiscard]] double push(std::size_t i, std::size_t face, double twist, double rate) const {
        const LooseGear& g = car_.gears[i];
        return g.k * penetration(i, face, twist) + g.c * (face == 1 ? rate : -rate);
    }
    void leave_piece(std::size_t stage, bool upwards);
    void turn_washer(std::size_t stage, double twist);
    void turn_gear(std::size_t gear, bool second, double t, double rate,
                   std::vector<Course::Touch>& touches);
    void settle_disc();

    const IdleCar& car_;
    std::size_t n_;
    std::vector<StagePhase> stages_;
    std::vector<GearPhase> gears_;
    /// All stages carry the same torque: disc_b_ + disc_k_·twist of the whole disc.
    double disc_b_ = 0.0, disc_k_ = 0.0;
    double mean_torque_ = 0.0;
    std::vector<double> start_;
};

}  // namespace damper::peers
