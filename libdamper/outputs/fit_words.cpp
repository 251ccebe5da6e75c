// SPDX-License-Identifier: MIT
#include "libdamper/outputs/fit_words.hpp"

#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace damper {

namespace {

constexpr double degree = std::numbers::pi / 180.0;

/// What a workshop reads: degrees and newton metres a degree.
double factor_of(const FitFigure& figure) {
    if (figure.units == "rad") return 1.0 / degree;
    if (figure.units == "N.m/rad") return degree;
    return 1.0;
}

/// So many digits that the interval shows, at most three significant ones more than it.
std::string rounded(double value, double half) {
    if (!(half > 0.0) || !std::isfinite(half)) return number_text(value);
    const int digits = static_cast<int>(std::ceil(-std::log10(half))) + 1;
    return fmt::format("{:.{}f}", value, std::clamp(digits, 0, 4));
}

double half_of(const FitFigure& figure) {
    return 0.5 * (figure.high - figure.low) * factor_of(figure);
}

/// A deviation or tolerance: per cent of nominal, or the figure's unit.
std::string share_or_value(const FitFigure& figure, double value, bool signs) {
    if (!std::isfinite(value)) return "";
    const bool angle = figure.units == "rad";
    const double shown = figure.relative ? 100.0 * value : value * factor_of(figure);
    const int digits = figure.relative ? 1 : angle ? 2 : 3;
    const char* unit = figure.relative ? " %" : angle ? " deg" : "";
    return signs ? fmt::format("{:+.{}f}{}", shown, digits, unit)
                 : fmt::format("{:.{}f}{}", shown, digits, unit);
}

}  // namespace

std::string figure_name(const FitFigure& figure) {
    return figure.stage > 0 ? fmt::format("{} {}", figure.stage, figure.name) : figure.name;
}

std::string figure_value(const FitFigure& figure) {
    const double factor = factor_of(figure);
    if (figure.known == "open") return fmt::format("({})", number_text(figure.value * factor));
    if (figure.known == "none") return "≤ " + rounded(figure.high * factor, half_of(figure));
    return rounded(figure.value * factor, half_of(figure));
}

std::string figure_interval(const FitFigure& figure) {
    if (figure.known != "measured") return "";
    const double half = half_of(figure);
    return "± " + rounded(half, half);
}

std::string figure_units(const FitFigure& figure) {
    if (figure.units == "rad") return "deg";
    if (figure.units == "N.m/rad") return "N m/deg";
    return figure.units == "N.m" ? "N m" : "";
}

std::vector<std::string> figure_standing(const FitFigure& figure) {
    if (figure.standing.empty()) return {"", "", "", ""};
    const std::string nominal = number_text(figure.nominal * factor_of(figure));
    if (figure.standing == "open") return {nominal, "", "", "not measured"};
    return {nominal, share_or_value(figure, figure.deviation, true),
            "± " + share_or_value(figure, figure.tolerance, false),
            figure.standing == "edge" ? "not decided" : figure.standing};
}

bool worth_a_row(const FitFigure& figure) {
    return figure.known != "none" || figure.high > 0.0;
}

std::string fit_headline(const FitRecord& record) {
    std::string text = fmt::format("{} {}", record.stages, record.stages == 1 ? "stage" : "stages");
    if (record.nominal.empty()) return text + ".";
    return text + (record.within ? "; within the tolerance of a new plate."
                                 : "; not as the nominal disc.");
}

std::vector<std::string> bench_cautions() {
    return {
        "Intervals hold for the errors of the bench and a disc of stages in series; they do not "
        "hold "
        "what the model leaves out. Figures support a decision, they prove no defect.",
        "Tolerances are those of a new plate (common practice, no source), no service limits: "
        "those of "
        "the vehicle or clutch maker come first.",
        "On the bench: springs under load, guard closed, hands out; treat the dust of old facings "
        "as "
        "harmful, no compressed air. A disc with broken springs or worn windows is not fitted "
        "again."};
}

}  // namespace damper
