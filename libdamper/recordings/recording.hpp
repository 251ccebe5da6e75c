// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace damper {

/// What a recording holds.
enum class RecordingKind { speed, pulses, acceleration, sound };

/// Whose speed a recording holds.
enum class RecordedShaft { flywheel, input };

/// Where an accelerometer was.
enum class AccelerometerPlace {
    by_rate,  ///< Not told: on a case if it gives more values a second than a vehicle needs.
    vehicle,
    gearbox_case,
};

/// A recording as it was read, SI, not yet judged.
struct WorkshopRecording {
    RecordingKind kind = RecordingKind::speed;
    std::string name = {};    ///< As the user wrote the file.
    std::string sha256 = {};  ///< Of its bytes.
    RecordedShaft pulses_of = RecordedShaft::flywheel;
    std::vector<double> time =
        {};  ///< Of each row or pulse [s]; empty for sound: even steps from 0.
    std::vector<double> flywheel = {};      ///< Speed [rad/s]; empty: not in the recording.
    std::vector<double> input = {};         ///< Speed of the gearbox input [rad/s]; or empty.
    std::vector<double> acceleration = {};  ///< [m/s2]; or empty.
    AccelerometerPlace place = AccelerometerPlace::by_rate;
    std::vector<double> sound = {};  ///< Of full scale, one channel; or empty.
    double step = 0.0;               ///< Of sound [s].
    double smallest_step = 0.0;      ///< Of one unit of the converter, of full scale; 0: unknown.
    int channels = 1;                ///< In the file; one of them is in `sound`.
    bool has_acceleration = false;   ///< In the file, beside speeds.
    std::vector<std::string> remarks = {};  ///< What the reader did or left out, in sentences.
};

}  // namespace damper
