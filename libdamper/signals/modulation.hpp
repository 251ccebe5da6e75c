// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/signals/band_envelope.hpp"

#include <cstddef>
#include <span>
#include <vector>

namespace damper {

/// How much an envelope swings at one frequency. An envelope 1 + m·cos(2π·f·t) has the depth m; a
/// train of short knocks, one a period, comes up to 2.
struct Modulation {
    double frequency = 0.0;  ///< Where it is strongest in the range that was searched [Hz].
    double depth = 0.0;      ///< Amplitude over mean, what chance makes of it taken off.
    double half_width =
        0.0;             ///< Of the 95 % interval of the depth, from the scatter of the blocks.
    double floor = 0.0;  ///< Amplitude over mean at frequencies beside it: chance.
    int blocks = 0;      ///< That the envelope was cut into; 0: too short, nothing is known.
};

/// Modulation near `frequency` [Hz], in the range ±`search` (a share of it, 0 to 0.2). Each block
/// of some 16 periods gives an amplitude of its own, so that a frequency that wanders a little
/// costs nothing; `depth`² is the mean of their squares less the same beside the line.
/// `step` > 0 [s].
[[nodiscard]] Modulation modulation_at(std::span<const double> envelope, double step,
                                       double frequency, double search);

/// Amplitude over mean of an envelope, line by line.
struct EnvelopeSpectrum {
    std::vector<double> frequency;  ///< [Hz]
    std::vector<double> depth;      ///< 1 for an envelope 1 + cos.
};

/// Root mean square over half overlapping blocks of `block` [s] under a Hann window, up to
/// `highest` [Hz]. A line between two of the spectrum's is up to 15 % lower (the window's scallop).
/// Empty if there is not one block. P. D. Welch, The use of fast Fourier transform for the
/// estimation of power spectra, IEEE Trans. Audio Electroacoust. 15, 1967 (recalled).
[[nodiscard]] EnvelopeSpectrum envelope_spectrum(std::span<const double> envelope, double step,
                                                 double block, double highest);

/// How an envelope goes with the phase of one frequency.
struct PhaseLevels {
    double quiet = 0.0;          ///< Of the quietest quarter of the phase, in the signal's unit.
    double loud = 0.0;           ///< Of the loudest quarter.
    double half_width_db = 0.0;  ///< Of the 95 % interval of each, from the blocks [dB].
};

/// Levels (root mean square of the signal under the envelope) by phase of `frequency` [Hz], block
/// by block with the blocks' own phases. What the quiet quarter has is there all the time: between
/// knocks that die away hardly anything, under an envelope that does not swing nearly all.
[[nodiscard]] PhaseLevels phase_levels(std::span<const double> envelope, double step,
                                       double frequency);

}  // namespace damper
