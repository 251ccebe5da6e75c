// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <limits>
#include <string>
#include <vector>

namespace damper {

/// One figure of a disc that was fitted to loops of a bench. What is not there is not a number.
struct FitFigure {
    std::string key;    ///< As in a disc file: "stages[0].stiffness"
    std::string name;   ///< For people: "drive stiffness"
    int stage = 0;      ///< From 1; 0: of the whole disc
    std::string units;  ///< SI: "N.m/rad"
    double value = 0.0;
    double low = 0.0, high = 0.0;  ///< 95 % interval
    std::string known;             ///< "measured", "none" or "open"
    double nominal = std::numeric_limits<double>::quiet_NaN();
    double deviation = std::numeric_limits<double>::quiet_NaN();  ///< Of nominal, or in `units`
    double error = std::numeric_limits<double>::quiet_NaN();      ///< Half interval of it
    double tolerance = std::numeric_limits<double>::quiet_NaN();
    bool relative = false;
    std::string standing;  ///< "within", "edge", "outside", "open"; empty: not compared
};

/// A run of the bench.
struct FitRun {
    std::string name;
    int loops = 0, samples = 0, groups = 0, left_out = 0;
    double torque_noise = 0.0, twist_noise = 0.0;  ///< Of a sample [N m], [rad]
    double torque_zero = 0.0, drift = 0.0;         ///< [N m]
    double misfit = 0.0;                           ///< In standard deviations
    std::vector<double> twist, torque, law;        ///< [rad], [N m], [N m]
    std::vector<std::int8_t> rising;
};

/// A disc that was tried.
struct FitTried {
    int stages = 0, drive_pieces = 0, coast_pieces = 0;
    bool play = false, first_preload = false;
    double sum_of_squares = 0.0;
    int unknowns = 0;
    double criterion = 0.0;
};

/// Everything that `damper fit` finds.
struct FitRecord {
    RunIdentity identity;
    std::string name;  ///< Of the files that are written
    int stages = 0;
    double zero_twist = 0.0;  ///< [rad]
    std::vector<FitFigure> figures;
    std::vector<FitRun> runs;
    std::vector<FitTried> tried;
    std::vector<std::string> notes;     ///< What the loops leave open and how it was filled
    std::vector<std::string> findings;  ///< Against nominal, gravest first
    std::string nominal;                ///< Title of the disc compared with; empty: none
    bool within = true;
    DiscLoop loop;          ///< Of the fitted disc
    DiscLoop nominal_loop;  ///< Empty without nominal
};

}  // namespace damper
