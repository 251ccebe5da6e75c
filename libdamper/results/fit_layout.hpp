// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/fit_record.hpp"
#include "libdamper/results/layout.hpp"

#include <tuple>

/// What stands in the file of a fitted disc. Changing a name, a unit or a type here changes the
/// format: raise `fit_format_version`.
namespace damper::layout {

inline constexpr const char* fit_format_name = "damper fit";
inline constexpr int fit_format_version = 2;

inline constexpr std::tuple fit_figures{
    Column{"key", "", "key of a disc description", &FitFigure::key},
    Column{"name", "", "what it is", &FitFigure::name},
    Column{"stage", "", "stage from the inside, from 1; 0: of the whole disc", &FitFigure::stage},
    Column{"unit", "", "unit of value, low and high", &FitFigure::units},
    Column{"value", "", "fitted, or what it was filled with", &FitFigure::value},
    Column{"low", "", "lower end of the 95 % interval", &FitFigure::low},
    Column{"high", "", "upper end of the 95 % interval", &FitFigure::high},
    Column{"known", "", "measured; none: not told from none; open: filled", &FitFigure::known},
    Column{"nominal", "", "what it should be; nan: not compared", &FitFigure::nominal},
    Column{"deviation", "", "of nominal where relative is 1, else in the unit",
           &FitFigure::deviation},
    Column{"error", "", "half of the 95 % interval of the deviation", &FitFigure::error},
    Column{"tolerance", "", "as the deviation", &FitFigure::tolerance},
    Column{"relative", "", "1: deviation and tolerance are shares of nominal",
           &FitFigure::relative},
    Column{"standing", "", "within, edge, outside, open; empty: not compared",
           &FitFigure::standing}};
inline constexpr std::tuple fit_runs{
    Column{"name", "", "file of the run", &FitRun::name},
    Column{"loops", "", "whole loops", &FitRun::loops},
    Column{"samples", "", "rows that were used", &FitRun::samples},
    Column{"groups", "", "means of neighbouring rows that were fitted", &FitRun::groups},
    Column{"left_out", "", "rows before the first turning point", &FitRun::left_out},
    Column{"torque_noise", "N.m", "standard deviation of a row", &FitRun::torque_noise},
    Column{"twist_noise", "rad", "standard deviation of a row", &FitRun::twist_noise},
    Column{"torque_zero", "N.m", "mean zero of the torque sensor", &FitRun::torque_zero},
    Column{"drift", "N.m", "range of the zero over the run", &FitRun::drift},
    Column{"misfit", "1", "root mean square of what is left, in standard deviations",
           &FitRun::misfit}};
inline constexpr std::tuple fit_tried{
    Column{"stages", "", "number of stages", &FitTried::stages},
    Column{"drive_pieces", "", "straight pieces reached on the drive side",
           &FitTried::drive_pieces},
    Column{"coast_pieces", "", "the same on the coast side", &FitTried::coast_pieces},
    Column{"play", "", "1: with play at zero torque", &FitTried::play},
    Column{"first_preload", "", "1: with preload of the first stage", &FitTried::first_preload},
    Column{"sum_of_squares", "1", "of the groups, in standard deviations",
           &FitTried::sum_of_squares},
    Column{"unknowns", "", "unknowns of the fit", &FitTried::unknowns},
    Column{"criterion", "1", "n ln(S/n) + p ln n; smaller is better", &FitTried::criterion}};

}  // namespace damper::layout
