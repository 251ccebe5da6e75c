// SPDX-License-Identifier: MIT
#include "libdamper/recordings/enough.hpp"
#include "libdamper/recordings/quality.hpp"
#include "libdamper/recordings/shaft_motion.hpp"
#include "libdamper/signals/knocks.hpp"
#include "libdamper/signals/modulation.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <span>

namespace damper {

namespace {

constexpr double lowest_firing = 8.0, highest_firing = 200.0;   // [Hz], where none is said
constexpr double shortest = 1.0, short_ = 0.5 * enough::sound;  // [s]; common practice, no source
constexpr double search_recorded = 0.02, search_said = 0.08;    // of the frequency

/// The envelope without the ends where its filter saw nothing.
std::span<const double> inner(const Envelope& envelope) {
    const auto lost = static_cast<std::size_t>(std::ceil(envelope.lost / envelope.step));
    const std::span<const double> all = envelope.value;
    return all.size() > 2 * lost ? all.subspan(lost, all.size() - 2 * lost) : all.first(0);
}

double strongest_line(const EnvelopeSpectrum& spectrum) {
    double best = 0.0, most = 0.0;
    for (std::size_t i = 0; i < spectrum.frequency.size(); ++i) {
        const bool inside =
            spectrum.frequency[i] >= lowest_firing && spectrum.frequency[i] <= highest_firing;
        if (inside && spectrum.depth[i] > most) {
            most = spectrum.depth[i];
            best = spectrum.frequency[i];
        }
    }
    return best;
}

}  // namespace

void find_noise(const std::vector<double>& values, double step, const char* units,
                double engine_speed, bool speed_recorded, const RecordingRequest& request,
                RecordingFindings& findings) {
    const double length = step * static_cast<double>(values.size());
    if (length < shortest) {
        note(findings, QualityWeight::unusable, "too short",
             fmt::format("It is {:.3g} s long; it takes at least {:.0f} s, and {:.0f} s for "
                         "intervals that are worth something.",
                         length, shortest, enough::sound));
        return;
    }
    if (length < short_) {
        note(findings, QualityWeight::doubt, "too short",
             fmt::format("It is only {:.3g} s long.", length));
    }
    const double most = enough::of_the_rate / step;
    const double low = request.band_low;
    const double high = std::min(request.band_high, most);
    if (high < 1.5 * low) {
        note(findings, QualityWeight::unusable, "sampling",
             fmt::format("{:.4g} values a second show nothing above {:.4g} Hz, where knocks are "
                         "looked for from {:.4g} Hz on.",
                         1.0 / step, most, low));
        return;
    }
    if (high < request.band_high) {
        note(findings, QualityWeight::remark, "sampling",
             fmt::format("The band ends at {:.4g} Hz instead of {:.4g} Hz: the recording shows no "
                         "more.",
                         high, request.band_high));
    }
    const Envelope envelope = band_envelope(values, step, low, high);
    const std::span<const double> seen = inner(envelope);
    double squares = 0.0;
    for (const double value : seen) squares += value * value;
    if (seen.empty() || !(squares > 0.0)) {
        note(findings, QualityWeight::unusable, "no signal", "There is nothing in the band.");
        return;
    }
    const double level = std::sqrt(0.5 * squares / static_cast<double>(seen.size()));
    // Fourth powers of a noise of the band's width scatter like 1/sqrt(width·length).
    const double level_width = 1.96 * 0.5 * level / std::sqrt(envelope.bandwidth * length);
    add_figure(findings, "band_level", level, units, level_width);
    const EnvelopeSpectrum spectrum =
        envelope_spectrum(seen, envelope.step, std::min(4.0, 0.45 * length), 250.0);
    for (std::size_t i = 0; i < spectrum.frequency.size(); ++i) {
        findings.envelope_spectrum.push_back({spectrum.frequency[i], spectrum.depth[i]});
    }
    const Knocks knocks = find_knocks(envelope);
    const double heard = length - 2.0 * envelope.lost;
    const auto count = static_cast<double>(knocks.time.size());
    add_figure(findings, "impact_rate", count / heard, "1/s",
               1.96 * std::sqrt(std::max(1.0, count)) / heard);
    if (knocks.crowded) {
        note(findings, QualityWeight::remark, "crowded",
             "Knocks follow so closely that some are lost in others: their rate is a lower bound.");
    }

    const double firing_order = 0.5 * request.cylinders;
    double firing = firing_order * engine_speed / (2.0 * std::numbers::pi);
    double search = speed_recorded ? search_recorded : search_said;
    if (!(firing > 0.0)) {
        firing = strongest_line(spectrum);
        search = search_recorded;
        if (!(firing > 0.0)) return;
        note(
            findings, QualityWeight::doubt, "firing frequency",
            fmt::format("Speed and number of cylinders are not both known; {:.4g} Hz, at which the "
                        "noise swings most, stands in for the firing frequency.",
                        firing));
    }
    const Modulation at_firing = modulation_at(seen, envelope.step, firing, search);
    if (at_firing.blocks == 0) {
        note(findings, QualityWeight::doubt, "too short",
             "It has fewer than 16 firings, too few for the swing of the noise.");
        return;
    }
    const double found = at_firing.frequency;
    add_figure(findings, "modulation_firing", at_firing.depth, "1",
               std::max(at_firing.half_width, at_firing.floor / std::sqrt(at_firing.blocks)));
    add_figure(findings, "modulation_frequency", found, "Hz",
               found / (16.0 * std::sqrt(static_cast<double>(at_firing.blocks))));
    if (request.cylinders > 1 && engine_speed > 0.0) {
        const Modulation half = modulation_at(seen, envelope.step, found / request.cylinders, 0.0);
        if (half.blocks > 0) {
            add_figure(findings, "modulation_half_order", half.depth, "1",
                       std::max(half.half_width, half.floor / std::sqrt(half.blocks)));
        }
    }
    const PhaseLevels levels = phase_levels(seen, envelope.step, found);
    if (levels.quiet > 0.0) {
        add_figure(findings, "modulation_firing_level",
                   20.0 * std::log10(levels.loud / levels.quiet), "dB", levels.half_width_db);
        add_figure(findings, "unmodulated_level", levels.quiet, units,
                   levels.quiet * (std::pow(10.0, levels.half_width_db / 20.0) - 1.0));
    }
    add_figure(findings, "impacts_per_firing", count / heard / found, "1",
               1.96 * std::sqrt(std::max(1.0, count)) / heard / found);
}

}  // namespace damper
