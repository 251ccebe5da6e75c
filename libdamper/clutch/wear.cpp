// SPDX-License-Identifier: MIT
#include "libdamper/clutch/wear.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

struct Varied {
    DiaphragmSpring spring;
    double deflection;
};

/// The values moved by so many of their tolerances.
Varied varied(const DiaphragmSpring& spring, double deflection, const SpringTolerance& tolerance,
              const double (&by)[4]) {
    Varied made{spring, deflection + by[2] * tolerance.deflection};
    made.spring.thickness += by[0] * tolerance.thickness;
    made.spring.cone_height += by[1] * tolerance.cone_height;
    made.spring.modulus *= 1.0 + by[3] * tolerance.modulus;
    return made;
}

double load_of(const Varied& one) {
    return spring_load(one.spring, one.deflection);
}

}  // namespace

double wear_until(const DiaphragmSpring& spring, double deflection, double least) {
    if (least <= 0.0) return deflection;
    const auto enough = [&](double wear) {
        return spring_load(spring, deflection - wear) >= least;
    };
    if (!enough(0.0)) return 0.0;
    // Before the load falls for good it can dip only where it is least beyond its peak.
    const LoadExtremes extremes = load_extremes(spring);
    double low = 0.0;
    double high = deflection;
    if (extremes.exist && deflection > extremes.lowest) {
        const double dip = deflection - extremes.lowest;
        if (enough(dip)) {
            low = deflection - extremes.highest;
        } else {
            high = dip;
        }
    } else if (extremes.exist && deflection > extremes.highest) {
        low = deflection - extremes.highest;
    }
    constexpr int halvings = 60;
    for (int n = 0; n < halvings; ++n) {
        const double middle = 0.5 * (low + high);
        (enough(middle) ? low : high) = middle;
    }
    return low;
}

LoadBand load_band(const DiaphragmSpring& spring, double deflection,
                   const SpringTolerance& tolerance) {
    LoadBand band;
    band.nominal = spring_load(spring, deflection);
    double below = 0.0;
    double above = 0.0;
    for (int which = 0; which < 4; ++which) {
        double lowest = 0.0;
        double highest = 0.0;
        for (const double end : {-1.0, 1.0}) {
            double by[4] = {};
            by[which] = end;
            const double change = load_of(varied(spring, deflection, tolerance, by)) - band.nominal;
            lowest = std::min(lowest, change);
            highest = std::max(highest, change);
        }
        below += lowest * lowest;
        above += highest * highest;
    }
    band.root_sum_low = band.nominal - std::sqrt(below);
    band.root_sum_high = band.nominal + std::sqrt(above);
    band.worst_low = band.nominal;
    band.worst_high = band.nominal;
    for (int corner = 0; corner < 16; ++corner) {
        double by[4];
        for (int which = 0; which < 4; ++which) by[which] = (corner >> which & 1) != 0 ? 1.0 : -1.0;
        const double load = load_of(varied(spring, deflection, tolerance, by));
        band.worst_low = std::min(band.worst_low, load);
        band.worst_high = std::max(band.worst_high, load);
    }
    return band;
}

}  // namespace damper
