// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/known_measures.hpp"
#include "libdamper/measures/measure_run.hpp"

#include <algorithm>
#include <cstddef>
#include <doctest/doctest.h>
#include <string>
#include <string_view>
#include <utility>

namespace damper::synthetic {

inline SignalSet axis(double step, double length) {
    SignalSet set;
    for (std::size_t i = 0; step * static_cast<double>(i) <= length + 0.5 * step; ++i) {
        set.time.push_back(step * static_cast<double>(i));
    }
    return set;
}

/// Adds a signal that follows `course` of time.
template <class Course>
void put(SignalSet& set, std::string name, std::string units, Course course) {
    Signal signal{std::move(name), std::move(units), "", {}};
    for (const double t : set.time) signal.values.push_back(course(t));
    set.signals.push_back(std::move(signal));
}

inline const MeasureValue* find(const Measured& measured, std::string_view name) {
    for (const MeasureValue& one : measured.measures) {
        if (one.name == name) return &one;
    }
    return nullptr;
}

inline double value(const Measured& measured, const std::string& name) {
    const MeasureValue* found = find(measured, name);
    REQUIRE_MESSAGE(found != nullptr, "no measure ", name);
    return found->value;
}

inline bool noted(const Measured& measured, std::string_view part) {
    for (const std::string& note : measured.notes) {
        if (note.find(part) != std::string::npos) return true;
    }
    return false;
}

/// Each measure stands in the list of known ones, with the same unit.
inline void check_known(const Measured& measured) {
    for (const MeasureValue& one : measured.measures) {
        CAPTURE(one.name);
        const auto found = std::find(known_measures().begin(), known_measures().end(),
                                     std::pair{one.name, one.units});
        CHECK(found != known_measures().end());
    }
}

}  // namespace damper::synthetic
