// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/recordings/recording.hpp"

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// What is known of a file beforehand.
struct RecordingOptions {
    /// Of pulses, or of a single column "speed": whose they are. A heading that says it wins.
    RecordedShaft shaft = RecordedShaft::flywheel;
    /// Of a table that holds speeds and an acceleration: take the acceleration, not the speeds.
    bool acceleration = false;
    int channel = 1;     ///< Of sound, from 1.
    char separator = 0;  ///< As TableRequest.
    char decimal = 0;
    bool has_options = false;  ///< As TableRequest.
};

/// Reads a recording: a WAV file, known by its first bytes, or a table (see measured_table.hpp)
///
/// - with "time" and "speed" or "flywheel speed", "gearbox input speed", or both;
/// - with "pulse time" or "gearbox input pulse time", the instants at which a toothed wheel passed
///   a pickup;
/// - with "time" and "acceleration", m/s2 or g; beside speeds it is a recording of its own, which
///   `options.acceleration` asks for.
///
/// Times must rise from row to row; every value must be a finite number, and no more than a
/// recorder can mean (speeds to 20 000 rpm, accelerations to 100 km/s2, times to ten years).
/// Throws InputError, in words for the owner of the file; FileError if it cannot be read.
[[nodiscard]] WorkshopRecording read_recording(const std::filesystem::path& file,
                                               const RecordingOptions& options = {});

/// The same from the bytes of a file that messages call `name`.
[[nodiscard]] WorkshopRecording parse_recording(std::string_view bytes, const std::string& name,
                                                const RecordingOptions& options = {});

/// All recordings in a file: one, or the speeds and the acceleration of one table.
[[nodiscard]] std::vector<WorkshopRecording> read_recordings(const std::filesystem::path& file,
                                                             const RecordingOptions& options = {});

}  // namespace damper
