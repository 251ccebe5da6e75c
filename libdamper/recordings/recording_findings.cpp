// SPDX-License-Identifier: MIT
#include "libdamper/recordings/recording_findings.hpp"

#include <algorithm>

namespace damper {

bool RecordingFindings::usable() const {
    return std::ranges::none_of(
        quality, [](const QualityNote& note) { return note.weight == QualityWeight::unusable; });
}

std::optional<RecordingFigure> RecordingFindings::figure(std::string_view key) const {
    const auto found = std::ranges::find(figures, key, &RecordingFigure::key);
    if (found == figures.end()) return std::nullopt;
    return *found;
}

const std::vector<KnownFigure>& known_recording_figures() {
    static const std::vector<KnownFigure> all{
        {"mean_speed", "Mean speed"},
        {"flywheel_firing_speed", "Flywheel, firing order, speed"},
        {"flywheel_firing_acceleration", "Flywheel, firing order, acceleration"},
        {"flywheel_half_order_speed", "Flywheel, half order that stays"},
        {"flywheel_first_order_speed", "Flywheel, first order that stays"},
        {"input_firing_speed", "Gearbox input, firing order, speed"},
        {"input_firing_acceleration", "Gearbox input, firing order, acceleration"},
        {"half_order_ratio", "Half order over firing order"},
        {"first_order_ratio", "First order over firing order"},
        {"isolation_firing", "Gearbox input over flywheel, firing order"},
        {"isolation_firing_coherence", "Coherence of the two, firing order"},
        {"isolation_half_order", "Gearbox input over flywheel, half order"},
        {"weakest_cylinder", "Heat of the weakest cylinder, less the mean"},
        {"strongest_cylinder", "Heat of the strongest cylinder, less the mean"},
        {"pitch_error", "Unevenness of the teeth, root mean square"},
        {"impact_rate", "Knocks that stand out"},
        {"impacts_per_firing", "Knocks a firing"},
        {"modulation_firing", "Noise over its mean, swing with the firing"},
        {"modulation_half_order", "Noise over its mean, swing with the half order"},
        {"modulation_firing_level", "Loud over quiet part of a firing"},
        {"modulation_frequency", "Frequency of that swing"},
        {"band_level", "Level of the noise in the band"},
        {"unmodulated_level", "Level of the quiet part of a firing"},
        {"shuffle_frequency", "Shuffle, frequency"},
        {"shuffle_damping", "Shuffle, damping ratio"},
        {"shuffle_amplitude", "Shuffle, first amplitude"},
        {"judder_frequency", "Judder, frequency"},
        {"judder_damping", "Judder, damping ratio; below 0 it grows"},
        {"judder_amplitude", "Judder, largest amplitude"},
    };
    return all;
}

const char* word_of(RecordingKind kind) {
    switch (kind) {
        case RecordingKind::speed:
            return "speed";
        case RecordingKind::pulses:
            return "pulses";
        case RecordingKind::acceleration:
            return "acceleration";
        case RecordingKind::sound:
            break;
    }
    return "sound";
}

const char* word_of(QualityWeight weight) {
    switch (weight) {
        case QualityWeight::remark:
            return "remark";
        case QualityWeight::doubt:
            return "doubt";
        case QualityWeight::unusable:
            break;
    }
    return "unusable";
}

}  // namespace damper
