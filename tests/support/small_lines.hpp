// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"
#include "libdamper/solvers/general/general_solver.hpp"

#include <string>
#include <utility>
#include <vector>

namespace damper::test {

/// A driveline is put together for a test as a sentence:
///   LineBuilder().mass("disc", 0.1).element("spring", {{0, 1.0}}, linear_spring(1000.0, 0.0))
class LineBuilder {
  public:
    LineBuilder& mass(std::string name, double inertia, double reference_speed = 0.0) {
        line_.masses.push_back({std::move(name), inertia, reference_speed});
        return *this;
    }
    LineBuilder& element(const std::string& name, std::vector<RowEntry> row, Law law) {
        return chain(name, std::move(row), {{{{name, std::move(law)}}}});
    }
    LineBuilder& chain(const std::string& name, std::vector<RowEntry> row,
                       std::vector<Cell> cells) {
        line_.branches.push_back({.name = name,
                                  .kind = "test",
                                  .row = std::move(row),
                                  .damping = 0.0,
                                  .chain = std::move(cells)});
        return *this;
    }
    LineBuilder& input(int mass, TorqueSource source) {
        line_.inputs.push_back({"torque", mass, std::move(source)});
        return *this;
    }
    [[nodiscard]] Driveline done() const { return line_; }

  private:
    Driveline line_;
};

/// Angles of one inertia over time.
class AngleTrace final : public Sink {
  public:
    explicit AngleTrace(std::size_t mass = 0) : mass_(mass) {}
    void sample(const Instant& instant) override {
        time.push_back(instant.time);
        const double reference = instant.stacked->line().masses[mass_].reference_speed;
        angle.push_back(instant.angle[mass_] + reference * instant.stacked->turn());
        speed.push_back(instant.speed[mass_]);
        acceleration.push_back(instant.acceleration[mass_]);
    }
    std::vector<double> time, angle, speed, acceleration;

  private:
    std::size_t mass_;
};

}  // namespace damper::test
