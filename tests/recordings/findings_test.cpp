// SPDX-License-Identifier: MIT
// What is found in recordings whose makings are known.
#include "libdamper/base/error.hpp"
#include "libdamper/recordings/find_in_recordings.hpp"
#include "libdamper/recordings/read_recording.hpp"
#include "libdamper/recordings/read_wav.hpp"
#include "libdamper/recordings/workshop_like.hpp"

#include "tests/support/scratch_folder.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <numbers>
#include <vector>

using namespace damper;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double turn = 2.0 * pi;

struct Motion {
    std::vector<double> time, flywheel, input;
};

/// A flywheel that cylinders with these heats turn, with a typical pulse: ω·dω/dφ = α(φ), harmonic
/// by harmonic; `first` is the angle of the first firing. The gearbox input swings with `gain`.
Motion engine(const std::vector<double>& heats, double first, double gain, double rate,
              double length) {
    const int n = static_cast<int>(heats.size());
    const double mean = 84.0, strength = 100.0;  // [rad/s], torque over inertia
    const CylinderPulse pulse = typical_pulse(4 * n);
    std::vector<std::complex<double>> swing(static_cast<std::size_t>(4 * n) + 1, 0.0);
    for (int m = 1; m <= 4 * n; ++m) {
        const auto i = static_cast<std::size_t>(m);
        for (int k = 0; k < n; ++k) {
            const double at = first + 2.0 * turn * k / n;
            swing[i] += (heats[static_cast<std::size_t>(k)] * pulse.heat[i] + pulse.rest[i]) *
                        std::polar(strength, -0.5 * m * at);
        }
        swing[i] /= std::complex<double>(0.0, 0.5 * m * mean);
    }
    Motion out;
    for (int i = 0; i < static_cast<int>(rate * length); ++i) {
        const double t = i / rate;
        double w = 0.0;
        for (std::size_t m = 1; m < swing.size(); ++m) {
            w += (swing[m] * std::polar(1.0, 0.5 * static_cast<double>(m) * mean * t)).real();
        }
        out.time.push_back(t);
        out.flywheel.push_back(mean + w);
        out.input.push_back(mean + gain * w);
    }
    return out;
}

RecordingRequest four_cylinders() {
    RecordingRequest request;
    request.cylinders = 4;
    return request;
}

bool is_noted(const RecordingFindings& findings, const char* about, const char* text) {
    return std::ranges::any_of(findings.quality, [&](const QualityNote& one) {
        return one.about == about && one.text.find(text) != std::string::npos;
    });
}

WorkshopRecording table(const std::string& text) {
    return parse_recording(text, "x.csv");
}

double value(const RecordingFindings& findings, const char* key) {
    const auto figure = findings.figure(key);
    REQUIRE_MESSAGE(figure.has_value(), key);
    return figure->value;
}

}  // namespace

TEST_CASE("cylinders of known heat are told in their order, from a trace and from pulses") {
    // Gains 1, 0.7, 1.1, 1.2 with the very pulse: what is left is that orders are taken over the
    // real crank angle and the synthesis is over the mean one (swing 2 %), hence 3 %.
    const std::vector<double> heats{1.0, 0.7, 1.1, 1.2};
    const Motion motion = engine(heats, 1.0, 0.4, 2000.0, 12.0);
    const RecordingFindings by_trace =
        find_in_recordings({table(speed_csv(motion.time, motion.flywheel, motion.input))},
                           four_cylinders())
            .front();
    REQUIRE(by_trace.usable());
    REQUIRE(by_trace.cylinders.size() == 4);
    for (std::size_t k = 0; k < 4; ++k) {
        CHECK(by_trace.cylinders[k].share ==
              doctest::Approx(heats[k] - 1.0).epsilon(0.03).scale(1.0));
    }
    CHECK(value(by_trace, "weakest_cylinder") < -0.25);
    CHECK(value(by_trace, "mean_speed") == doctest::Approx(84.0).epsilon(1e-3));
    CHECK(value(by_trace, "isolation_firing") == doctest::Approx(0.4).epsilon(2e-3));
    CHECK(value(by_trace, "isolation_firing_coherence") > 0.999);
    CHECK(value(by_trace, "half_order_ratio") > 0.1);

    Pickup pickup{.wheel = {60, 2}, .pitch_error = 3e-4, .jitter = 1e-6};
    Pickup other{.wheel = {37, 0}, .pitch_error = 3e-4, .jitter = 1e-6};
    other.seed = 2;
    RecordingRequest request = four_cylinders();
    request.input_wheel = {37, 0};
    const std::vector<WorkshopRecording> two{
        table(pulse_csv(pulse_times(motion.time, motion.flywheel, pickup), false)),
        table(pulse_csv(pulse_times(motion.time, motion.input, other), true))};
    const std::vector<RecordingFindings> by_pulses = find_in_recordings(two, request);
    REQUIRE(by_pulses.front().usable());
    CHECK(by_pulses.front().teeth == 60);
    // The first place of the wheel is at angle 0 as well, but of which revolution of the cycle a
    // wheel on the crank cannot tell: two firings on.
    for (std::size_t k = 0; k < 4; ++k) {
        CHECK(by_pulses.front().cylinders[(k + 2) % 4].share ==
              doctest::Approx(heats[k] - 1.0).epsilon(0.05).scale(1.0));
    }
    CHECK(value(by_pulses.back(), "isolation_firing") == doctest::Approx(0.4).epsilon(0.05));
}

TEST_CASE("a driver's own pulse sharpens the shares; three and six cylinders work alike") {
    const std::vector<double> three{1.0, 0.8, 1.2};
    const std::vector<double> six{1.0, 1.0, 0.6, 1.0, 1.2, 1.2};
    for (const auto& heats : {three, six}) {
        const Motion motion = engine(heats, 0.3, 0.0, 2000.0, 12.0);
        RecordingRequest request;
        request.cylinders = static_cast<int>(heats.size());
        request.pulse = typical_pulse(16);
        const RecordingFindings found =
            find_in_recordings({table(speed_csv(motion.time, motion.flywheel, {}))}, request)
                .front();
        REQUIRE(found.cylinders.size() == heats.size());
        for (std::size_t k = 0; k < heats.size(); ++k) {
            CAPTURE(k);
            CHECK(found.cylinders[k].share ==
                  doctest::Approx(heats[k] - 1.0).epsilon(0.04).scale(1.0));
        }
    }
    // Even cylinders: nobody is named.
    const Motion even = engine({1.0, 1.0, 1.0, 1.0}, 0.3, 0.0, 1000.0, 12.0);
    const std::vector<double> noisy = noisy_speed(even.flywheel, 0.02, 0.0, 3);
    const RecordingFindings found =
        find_in_recordings({table(speed_csv(even.time, noisy, {}))}, four_cylinders()).front();
    for (const CylinderRow& row : found.cylinders) CHECK(std::abs(row.share) < 0.02);
}

TEST_CASE("knocks with the firing are counted and their swing told; noise alone is not called so") {
    // One knock a firing of 28 Hz with a jitter of 0.3 ms, energies that scatter, 8 s; then the
    // same number at random times.
    std::vector<double> at, energy, random;
    for (int i = 0; i < 220; ++i) {
        const auto n = static_cast<std::uint64_t>(i);
        at.push_back(0.05 + i / 28.0 + 3e-4 * normal_random(1, n));
        energy.push_back(1e-4 * std::exp(0.4 * normal_random(2, n)));
        random.push_back(0.05 + 7.8 * std::fmod(0.6180339887 * i * i, 1.0));
    }
    std::sort(random.begin(), random.end());
    RecordingRequest request = four_cylinders();
    request.mean_speed = 28.0 / 2.0 * turn;
    const auto found = [&](const std::vector<double>& times) {
        const std::vector<double> sound = knock_sound(times, energy, 8.0, 28.0, {});
        return find_in_recordings({parse_recording(wav_bytes(sound, 48000), "x.wav")}, request)
            .front();
    };
    const RecordingFindings firing = found(at), chance = found(random);
    REQUIRE(firing.usable());
    CHECK(value(firing, "impact_rate") == doctest::Approx(28.0).epsilon(0.06));
    CHECK(value(firing, "impacts_per_firing") == doctest::Approx(1.0).epsilon(0.06));
    CHECK(value(firing, "modulation_firing") > 0.35);  // noise fills what lies between
    CHECK(value(firing, "modulation_frequency") == doctest::Approx(28.0).epsilon(0.01));
    CHECK(value(firing, "modulation_firing_level") > 6.0);
    CHECK(value(firing, "unmodulated_level") < 0.7 * value(firing, "band_level"));
    CHECK(value(chance, "modulation_firing") < 0.3 * value(firing, "modulation_firing"));
    // A speed recorded with it takes the place of the one that is said.
    const Motion motion = engine({1.0, 1.0, 1.0, 1.0}, 0.3, 0.4, 1000.0, 8.0);
    const std::vector<double> sound = knock_sound(at, energy, 8.0, 28.0, {});
    const auto both = find_in_recordings({table(speed_csv(motion.time, motion.flywheel, {})),
                                          parse_recording(wav_bytes(sound, 48000), "x.wav")},
                                         four_cylinders());
    CHECK(value(both.back(), "modulation_frequency") == doctest::Approx(26.74).epsilon(0.03));
}

TEST_CASE("shuffle and judder of known frequency and damping come back") {
    // Shuffle 3.2 Hz with damping ratio 0.12 after a step of the trend; firing ripple of 60 Hz.
    std::string text = "time [s];speed [rpm]\n", take_up = "time [s];acceleration [g]\n";
    const double frequency = 3.2, zeta = 0.12;
    const double decay = zeta * turn * frequency / std::sqrt(1.0 - zeta * zeta);
    for (int i = 0; i < 4000; ++i) {
        const double t = i / 1000.0, since = std::max(0.0, t - 1.0);
        double rpm = 1500.0 + 40.0 * since + 3.0 * std::cos(turn * 60.0 * t);
        if (t > 1.0)
            rpm += 60.0 * (1.0 - std::exp(-decay * since) * std::cos(turn * frequency * since));
        text += fmt::format("{:.4f};{:.2f}\n", t, rpm);
        // Judder of 11 Hz that grows at 1.5 1/s until 2.5 s and then stops, on a push of 2 m/s2.
        const double grown =
            0.05 * std::exp(1.5 * std::min(t, 2.5)) * (t > 2.5 ? std::exp(-20.0 * (t - 2.5)) : 1.0);
        take_up +=
            fmt::format("{:.4f};{:.5f}\n", t, (2.0 + grown * std::sin(turn * 11.0 * t)) / 9.80665);
    }
    RecordingRequest request = four_cylinders();
    request.manoeuvre = RecordedManoeuvre::torque_change;
    const RecordingFindings shuffle = find_in_recordings({table(text)}, request).front();
    CHECK(value(shuffle, "shuffle_frequency") == doctest::Approx(frequency).epsilon(0.02));
    CHECK(value(shuffle, "shuffle_damping") == doctest::Approx(zeta).epsilon(0.1));
    CHECK(shuffle.figure("shuffle_frequency")->half_width < 0.1);
    // Read as running it says what it looks like; without the swing it does not.
    request.manoeuvre = RecordedManoeuvre::running;
    WorkshopRecording speed = table(text);
    CHECK(is_noted(find_in_recordings({speed}, request).front(), "torque-change", "of load"));
    for (std::size_t i = 0; i < speed.time.size(); ++i) {
        speed.flywheel[i] = 157.0 + 4.0 * speed.time[i] + std::cos(turn * 6.5 * speed.time[i]);
    }
    CHECK_FALSE(is_noted(find_in_recordings({speed}, request).front(), "torque-change", ""));
    request.manoeuvre = RecordedManoeuvre::take_up;
    const RecordingFindings judder = find_in_recordings({table(take_up)}, request).front();
    CHECK(value(judder, "judder_frequency") == doctest::Approx(11.0).epsilon(0.02));
    CHECK(value(judder, "judder_damping") == doctest::Approx(-1.5 / (turn * 11.0)).epsilon(0.1));
    CHECK(value(judder, "judder_amplitude") == doctest::Approx(0.05 * std::exp(3.75)).epsilon(0.1));
}

namespace {

/// A start from rest: the engine holds 150 rad/s with its firing, the input comes up evenly from 1
/// s on until it has caught at 3 s. While it slips, judder of 13 Hz grows at 0.8 1/s; behind, the
/// driveline swings at 9 Hz, twice as far. A grade and an offset stand on the accelerometer.
std::string start_from_rest() {
    std::string text =
        "time [s],flywheel speed [rpm],gearbox input speed [rpm],acceleration [m/s2]\n";
    for (int i = 0; i < 4500; ++i) {
        const double t = i / 1000.0, since = t - 1.0;
        const bool slips = t >= 1.0 && t < 3.0;
        const double engine = 150.0 + 0.5 * std::cos(turn * 48.0 * t);
        double driven = t < 1.0 ? 0.0 : t < 3.0 ? 75.0 * since : engine;
        double a = t < 1.0 ? 0.0 : t < 3.0 ? 1.5 : 0.2;
        const double swing = 0.1 * std::exp(0.8 * since) * std::sin(turn * 13.0 * since);
        if (slips) {
            driven += 2.0 * swing * std::min(1.0, 10.0 * since);
            a += swing;
        }
        if (t >= 3.0) a += std::exp(-1.5 * (t - 3.0)) * std::sin(turn * 9.0 * (t - 3.0));
        text += fmt::format("{:.4f},{:.3f},{:.3f},{:.4f}\n", t, engine * 30.0 / pi,
                            driven * 30.0 / pi, a + 0.35);
    }
    return text;
}

}  // namespace

TEST_CASE("judder is that of the slip, and a start from rest is known as one") {
    const std::string text = start_from_rest();
    const WorkshopRecording speeds = table(text);
    const WorkshopRecording seat = parse_recording(text, "x.csv", {.acceleration = true});
    RecordingRequest request = four_cylinders();
    request.manoeuvre = RecordedManoeuvre::take_up;
    const auto together = find_in_recordings({speeds, seat}, request);
    // Speed and acceleration swing alike; the last growing swing is cut where it sticks.
    for (const RecordingFindings& one : together) {
        CHECK(value(one, "judder_frequency") == doctest::Approx(13.0).epsilon(0.005));
        CHECK(value(one, "judder_damping") == doctest::Approx(-0.8 / (turn * 13.0)).epsilon(0.1));
        CHECK(is_noted(one, "judder", "while the clutch slips, 1."));
    }
    CHECK(value(together[1], "judder_amplitude") ==
          doctest::Approx(0.1 * std::exp(1.6)).epsilon(0.1));
    // Alone, the seat does not tell when the clutch slips, and says so.
    const RecordingFindings alone = find_in_recordings({seat}, request).front();
    CHECK(is_noted(alone, "judder", "once the clutch has caught counts as well"));
    CHECK(value(alone, "judder_amplitude") > 0.8);

    request.manoeuvre = RecordedManoeuvre::running;
    const auto running = find_in_recordings({speeds}, request);
    CHECK(is_noted(running.front(), "take-up", "looks like a take-up"));
    CHECK_FALSE(running.front().usable());  // the input stands
    // Two tables of one speed tell it as well; turned around, running down, they do not.
    WorkshopRecording flywheel = speeds, input = speeds;
    flywheel.input.clear();
    input.flywheel.clear();
    CHECK(is_noted(find_in_recordings({flywheel, input}, request)[1], "take-up", "looks like"));
    std::ranges::reverse(input.input);
    CHECK_FALSE(is_noted(find_in_recordings({flywheel, input}, request)[1], "take-up", ""));
    // Nor does an engine that is started with the clutch closed, or one that only runs.
    flywheel.flywheel = input.input = speeds.input;
    CHECK_FALSE(is_noted(find_in_recordings({flywheel, input}, request)[1], "take-up", ""));
    flywheel.flywheel = input.input = speeds.flywheel;
    CHECK_FALSE(is_noted(find_in_recordings({flywheel, input}, request)[1], "take-up", ""));
}

TEST_CASE("a run-up gives a track over speed instead of means") {
    std::string text = "time [s],flywheel speed [rpm],gearbox input speed [rpm]\n";
    for (int i = 0; i < 12000; ++i) {
        const double t = i / 1000.0, a = 100.0 * t + 8.0 * t * t;
        const double swing = 3.0 * std::cos(2.0 * a);
        const double rpm = 30.0 / pi * (100.0 + 16.0 * t);
        text += fmt::format("{:.4f},{:.3f},{:.3f}\n", t, rpm + 30.0 / pi * swing,
                            rpm + 30.0 / pi * 0.5 * swing);
    }
    const RecordingFindings found = find_in_recordings({table(text)}, four_cylinders()).front();
    CHECK(found.run_up);
    CHECK_FALSE(found.figure("flywheel_firing_speed").has_value());
    REQUIRE(found.track.size() > 60);
    for (std::size_t i = 0; i < found.track.size(); i += 10) {
        const TrackRow& row = found.track[i];
        CHECK(row.flywheel == doctest::Approx(2.0 * row.speed * 3.0).epsilon(0.03));
        CHECK(row.input / row.flywheel == doctest::Approx(0.5).epsilon(0.01));
    }
}

TEST_CASE("turns a minute are read as the trade writes them, and a column too many is told") {
    const std::string rows = "0,000;800;20\n0,001;801,5;20\n0,002;803;20\n0,003;804,5;20\n";
    for (const char* names :
         {"time [s];speed [1/min];oil [degC]", "time [s];speed [min^-1];oil", "t/s;n / 1/min;oil",
          "time [s];speed [min-1];oil", "time [s];speed (U/min);oil", "time [s];speed [r/min];oil",
          "time [s];speed [rpm];oil", "time;speed;oil\ns;1/min;degC"}) {
        CAPTURE(names);
        const WorkshopRecording read = table(std::string(names) + "\n" + rows);
        REQUIRE(read.flywheel.size() == 4);
        CHECK(read.flywheel[3] == doctest::Approx(804.5 * turn / 60.0).epsilon(1e-14));
        REQUIRE(read.remarks.size() == 1);
        CHECK(read.remarks[0].find("Not used") != std::string::npos);
        CHECK(read.remarks[0].find("\"oil") != std::string::npos);
    }
    CHECK(table("time [s];speed [rpm]\n0;800\n1;801\n2;802\n3;803\n").remarks.empty());
}

TEST_CASE("an idle that drifts shows the half order that it has, and none where there is none") {
    // The speed over the crank's angle is what is put in: mean with drift, order ½, firing order.
    for (const double half : {0.0, 0.1}) {
        CAPTURE(half);
        WorkshopRecording drifting;
        drifting.kind = RecordingKind::speed;
        const double step = 5e-4;
        double angle = 0.0;
        const auto speed_at = [&](double t, double phi) {
            return 84.0 + 0.75 * t - 0.3 * t * t + half * std::sin(0.5 * phi) +
                   1.5 * std::sin(2.0 * phi);
        };
        for (int i = 0; i <= 8000; ++i) {
            const double t = i * step, now = speed_at(t, angle);
            drifting.time.push_back(t);
            drifting.flywheel.push_back(now);
            angle += 0.5 * step * (now + speed_at(t + step, angle + step * now));
        }
        const auto found = find_in_recordings({drifting}, four_cylinders()).front();
        CHECK(value(found, "flywheel_half_order_speed") ==
              doctest::Approx(half).epsilon(0.01).scale(0.05));
    }
}

TEST_CASE("every kind of WAV file gives back its values") {
    std::vector<double> tone;
    for (int i = 0; i < 500; ++i) tone.push_back(0.8 * std::sin(0.05 * i));
    const WorkshopRecording back = parse_wav(wav_bytes(tone, 44100), "x");
    REQUIRE(back.sound.size() == tone.size());
    CHECK(back.step == doctest::Approx(1.0 / 44100).epsilon(1e-12));
    for (std::size_t i = 0; i < tone.size(); ++i) {
        CHECK(std::abs(back.sound[i] - tone[i]) < 1.6 / 32768.0);  // 32767 for 32768, and rounding
    }
}

TEST_CASE("a table of speeds and an acceleration is a recording of each") {
    const std::string both =
        "time [s],speed [rpm],acceleration [m/s2]\n0,60,1\n1,90,2\n2,60,1\n3,90,2\n";
    const WorkshopRecording speed = parse_recording(both, "x.csv");
    CHECK(speed.kind == RecordingKind::speed);
    CHECK(speed.has_acceleration);
    CHECK(speed.acceleration.empty());
    CHECK(speed.flywheel[1] == doctest::Approx(3.0 * pi));
    const WorkshopRecording felt = parse_recording(both, "x.csv", {.acceleration = true});
    CHECK(felt.kind == RecordingKind::acceleration);
    CHECK(felt.flywheel.empty());
    CHECK(felt.acceleration == std::vector<double>{1.0, 2.0, 1.0, 2.0});
    const testing::ScratchFolder folder;
    const auto all = read_recordings(folder.write("x.csv", both));
    REQUIRE(all.size() == 2);
    CHECK(all[0].name != all[1].name);
    CHECK(read_recordings(folder.write("y.csv", "time [s],speed [rpm]\n0,1\n1,2\n2,1\n3,2\n"))
              .size() == 1);
    CHECK_THROWS_WITH_AS(parse_recording("time [s],speed [rpm]\n0,1\n1,2\n2,1\n3,2\n", "z.csv",
                                         {.acceleration = true}),
                         doctest::Contains("no column \"acceleration\""), InputError);
}
