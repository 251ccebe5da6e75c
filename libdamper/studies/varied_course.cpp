// SPDX-License-Identifier: MIT
#include "libdamper/studies/varied_course.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <utility>

namespace damper {

namespace {

constexpr double beside = 0.01;  // of the speed: a family needs a range
constexpr std::size_t most_known = 256;

/// What two drivelines must have alike to be members of one family.
std::string shape_of(const Driveline& line) {
    std::string text;
    for (const RotatingMass& mass : line.masses) text += mass.name + ";";
    for (const Branch& branch : line.branches) {
        text += branch.name + ":";
        for (const Cell& cell : branch.chain) {
            for (const Part& part : cell.parts) {
                text += fmt::format("{}/{},", part.name, part.law.modes.size());
            }
            text += "|";
        }
    }
    return text;
}

}  // namespace

VariedCourse::VariedCourse(OrbitVary vary, OrbitRequest request)
    : vary_(std::move(vary)), request_(std::move(request)) {
    request_.from = (1.0 - beside) * vary_.speed;
    request_.to = (1.0 + beside) * vary_.speed;
    request_.torque_nodes = 1;
    first_ = assembled_at(vary_.from);
    (void)family(vary_.to);
}

std::shared_ptr<const OrbitFamily> VariedCourse::assembled_at(double value) const {
    return std::make_shared<const OrbitFamily>(vary_.scenario_at(value), request_);
}

std::shared_ptr<const OrbitFamily> VariedCourse::family(double value) const {
    const auto known = known_.find(value);
    if (known != known_.end()) return known->second;
    const auto [low, high] = std::minmax(vary_.from, vary_.to);
    std::shared_ptr<const OrbitFamily> made;
    try {
        made = assembled_at(value);
    } catch (const InputError&) {
        // A curve looks a step beyond its ends, where the description may hold no value any more.
        const double inside = std::clamp(value, low, high);
        if (inside == value) throw;
        made = assembled_at(inside);
    }
    if (shape_of(made->assembled().line) != shape_of(first_->assembled().line)) {
        throw InputError(fmt::format(
            "--vary {}: at {:.6g} {} the driveline has other elements than at {:.6g}: an element "
            "begins or ends in between\n    To mend: give a range on one side of that",
            vary_.key, value, vary_.units, vary_.from));
    }
    if (known_.size() >= most_known) known_.clear();
    known_[value] = made;
    return made;
}

PeriodicProblem VariedCourse::at(double value) const {
    return family(value)->at(vary_.speed);
}

double VariedCourse::mean_torque(double value) const {
    return family(value)->mean_torque(vary_.speed);
}

}  // namespace damper
