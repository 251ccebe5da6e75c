// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/recordings/recording.hpp"

#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// How much a remark on the quality of a recording takes from its figures.
enum class QualityWeight {
    remark,    ///< Nothing: what was done with it.
    doubt,     ///< Figures stand, but see the remark first.
    unusable,  ///< No figure is given.
};

struct QualityNote {
    QualityWeight weight = QualityWeight::remark;
    std::string about;  ///< One word for programs: "clipping", "too short", "tooth count", …
    std::string text;   ///< A sentence for people, plain text.
};

/// A number that a recording shows.
struct RecordingFigure {
    std::string key;  ///< As in known_recording_figures(): "flywheel_firing_acceleration".
    double value = 0.0;
    std::string units;  ///< Readable by UDUNITS: "rad/s2"; "1" for a plain number.
    /// Half width of the 95 % interval, same unit; infinite: one stretch, the scatter is not known.
    double half_width = std::numeric_limits<double>::infinity();
    bool doubtful = false;  ///< A remark on the quality speaks against leaning on it.
};

/// An order over the whole recording.
struct OrderRow {
    double order = 0.0;
    double flywheel = 0.0, flywheel_half_width = 0.0;  ///< Speed, amplitude 0 to peak [rad/s]
    double input = 0.0, input_half_width = 0.0;        ///< The same of the gearbox input
    double ratio = 0.0, ratio_half_width = 0.0;        ///< Input over flywheel
    double coherence = 0.0;
};

/// The firing order stretch by stretch: the track of a run-up.
struct TrackRow {
    double time = 0.0;      ///< [s]
    double speed = 0.0;     ///< Mean [rad/s]
    double flywheel = 0.0;  ///< Amplitude of the angular acceleration at the firing order [rad/s2]
    double input = 0.0;     ///< The same of the gearbox input; NaN: not recorded
};

/// A cylinder in the order in which they fire, the first after the first angle of the recording.
struct CylinderRow {
    double share = 0.0;       ///< Heat over the mean of all cylinders, less 1: −0.3 is 30 % less.
    double half_width = 0.0;  ///< From the scatter of the stretches alone.
};

/// A line of a spectrum, for the page.
struct SpectrumLine {
    double frequency = 0.0;  ///< [Hz]
    double value = 0.0;
};

/// What a recording, or two of one clock together, shows.
struct RecordingFindings {
    RecordingKind kind = RecordingKind::speed;
    std::string name, sha256;
    double duration = 0.0;                           ///< [s]
    double rate = 0.0;                               ///< Values a second, on average [Hz]
    double mean_speed = 0.0;                         ///< [rad/s]; 0: no speed in it
    double lowest_speed = 0.0, highest_speed = 0.0;  ///< Of single stretches [rad/s]
    bool run_up = false;        ///< The speed goes through a range: read the track, not the means.
    double firing_order = 0.0;  ///< 0: not known
    int teeth = 0, missing_teeth = 0;
    std::vector<QualityNote> quality;  ///< Gravest first.
    std::vector<RecordingFigure> figures;
    std::vector<OrderRow> orders;
    std::vector<TrackRow> track;
    std::vector<CylinderRow> cylinders;
    std::string cylinder_reading;     ///< What the cylinders' shares can and cannot say; or empty.
    std::vector<double> pitch_error;  ///< Of each tooth, as removed [rad]; or empty.
    std::vector<SpectrumLine> envelope_spectrum;  ///< Depth of modulation, line by line.

    [[nodiscard]] bool usable() const;
    /// Nothing if the recording does not show it.
    [[nodiscard]] std::optional<RecordingFigure> figure(std::string_view key) const;
};

/// Name of a figure for programs, what it is for people.
struct KnownFigure {
    const char* key;
    const char* name;
};

/// Every key that a figure can have.
[[nodiscard]] const std::vector<KnownFigure>& known_recording_figures();

/// "speed", "pulses", "acceleration", "sound".
[[nodiscard]] const char* word_of(RecordingKind kind);
/// "remark", "doubt", "unusable".
[[nodiscard]] const char* word_of(QualityWeight weight);

}  // namespace damper
