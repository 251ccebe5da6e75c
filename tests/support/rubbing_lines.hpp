// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/general/general_solver.hpp"

#include <string>
#include <vector>

namespace damper::test {

/// Friction with a constant limit [N m].
[[nodiscard]] inline FrictionFaces faces_of(double limit) {
    FrictionFaces faces;
    faces.friction = {{0.0}, {1.0}};
    faces.load = {{0.0}, {limit}};
    return faces;
}

/// Two inertias with faces between them, turning at these speeds.
[[nodiscard]] inline Driveline two_with_faces(double first, double second, double first_speed,
                                              double second_speed, FrictionFaces faces) {
    Driveline line;
    line.masses = {{"engine", first, first_speed}, {"vehicle", second, second_speed}};
    line.faces.push_back({.name = "faces",
                          .row = {{0, 1.0}, {1, -1.0}},
                          .law = std::move(faces),
                          .modulations = {}});
    return line;
}

/// An inertia on a spring whose other end is held, rubbing on a belt that turns: the belt is an
/// inertia so large that it does not notice.
[[nodiscard]] inline Driveline on_a_belt(double inertia, double stiffness, double damping,
                                         double belt_speed, FrictionFaces faces) {
    Driveline line;
    line.masses = {{"belt", 1e12, belt_speed}, {"mass", inertia, 0.0}};
    Branch spring{
        .name = "spring", .kind = "shaft", .row = {{1, 1.0}}, .damping = 0.0, .chain = {}};
    spring.chain.push_back({{{"spring", linear_spring(stiffness, damping)}}});
    line.branches.push_back(std::move(spring));
    line.faces.push_back({.name = "faces",
                          .row = {{0, 1.0}, {1, -1.0}},
                          .law = std::move(faces),
                          .modulations = {}});
    return line;
}

/// Keeps what a run shows of its first pair of faces.
struct FaceTrace : Sink {
    struct Row {
        double time = 0.0, torque = 0.0;
        std::vector<double> speed, angle;
    };
    std::vector<Row> rows;
    std::vector<ModeChange> changes;
    void sample(const Instant& now) override {
        rows.push_back({now.time,
                        now.face_torque.empty() ? 0.0 : now.face_torque[0],
                        {now.speed.begin(), now.speed.end()},
                        {now.angle.begin(), now.angle.end()}});
    }
    void change(const ModeChange& one) override { changes.push_back(one); }
};

struct FaceRun {
    TimeOutcome outcome;
    FaceTrace trace;
};

[[nodiscard]] inline FaceRun run_faces(const Driveline& line, bool exact, double end,
                                       double step = 1e-3, double tolerance = 1e-10,
                                       const State* start = nullptr) {
    FaceRun out;
    const State from = start != nullptr ? *start : start_state(line);
    const TimeSettings settings{.end = end, .sample_step = step, .tolerance = tolerance};
    out.outcome = exact ? solve_exact(line, from, settings, &out.trace, {})
                        : solve_general(line, from, settings, &out.trace, {});
    return out;
}

}  // namespace damper::test
