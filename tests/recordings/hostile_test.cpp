// SPDX-License-Identifier: MIT
// Recordings that mean harm, or were damaged: each is refused in words, or read and judged.
#include "libdamper/base/error.hpp"
#include "libdamper/recordings/find_in_recordings.hpp"
#include "libdamper/recordings/read_recording.hpp"
#include "libdamper/recordings/read_wav.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <string>
#include <vector>

using namespace damper;

namespace {

std::string little(unsigned long long value, unsigned size) {
    std::string out;
    for (unsigned i = 0; i < size; ++i) out += static_cast<char>((value >> (8U * i)) & 0xFFU);
    return out;
}

struct Head {
    unsigned format = 1, channels = 1, bits = 16;
    unsigned long long rate = 8000, per_second = 0, frame = 0, size = 16;
};

/// A WAV file with whatever its head says; `claimed`: size of the data chunk.
std::string wav(const Head& h, const std::string& data, unsigned long long claimed,
                const std::string& before = "", const std::string& extra = "") {
    const unsigned long long frame =
        h.frame != 0 ? h.frame : static_cast<unsigned long long>(h.channels) * h.bits / 8;
    const unsigned long long second = h.per_second != 0 ? h.per_second : h.rate * frame;
    std::string out = "RIFF" + little(36 + data.size(), 4) + "WAVE" + before + "fmt ";
    out += little(h.size, 4) + little(h.format, 2) + little(h.channels, 2) + little(h.rate, 4) +
           little(second, 4) + little(frame, 2) + little(h.bits, 2) + extra;
    return out + "data" + little(claimed, 4) + data;
}

std::string wav(const Head& h, const std::string& data) {
    return wav(h, data, data.size());
}

struct Bad {
    std::string name;
    std::string bytes;
    const char* said;  ///< Part of the message.
};

std::vector<Bad> bad_sounds() {
    const std::string two(2, '\0'), many(400, '\x11');
    const auto with = [](auto change) {
        Head head;
        change(head);
        return head;
    };
    const std::string not_a_number = little(0x7FC00000U, 4) + std::string(400, '\0');
    const std::string infinite = little(0x7F800000U, 4) + std::string(400, '\0');
    const std::string huge = little(0x7149F2CAU, 4) + std::string(400, '\0');  // 1e30
    return {
        {"10 GB in the head", wav({}, many, 0xFFFFFFF0ULL), "claims 4294967280 bytes"},
        {"negative size", wav({}, many, 0x80000000ULL), "claims 2147483648 bytes"},
        {"streamed, never closed", wav({}, many, 0xFFFFFFFFULL), "recorder was not stopped"},
        {"truncated data", wav({}, many, 401), "cut off"},
        {"no values", wav({}, ""), "no sound in it"},
        {"0 channels", wav(with([](Head& h) { h.channels = 0; }), many), "0 channels"},
        {"65 channels", wav(with([](Head& h) { h.channels = 65; }), many), "65 channels"},
        {"65535 channels", wav(with([](Head& h) { h.channels = 65535, h.frame = 2; }), many),
         "65535 channels"},
        {"0 bits", wav(with([](Head& h) { h.bits = 0; }), many), "0 bits"},
        {"12 bits", wav(with([](Head& h) { h.bits = 12; }), many), "12 bits"},
        {"16 bits floating", wav(with([](Head& h) { h.format = 3; }), many), "floating point"},
        {"0 Hz", wav(with([](Head& h) { h.rate = 0, h.per_second = 1; }), many),
         "0 values a second"},
        {"4 GHz", wav(with([](Head& h) { h.rate = 4000000000ULL; }), many),
         "4000000000 values a second"},
        {"wrong rate", wav(with([](Head& h) { h.per_second = 88200; }), many), "or another rate"},
        {"wrong frame", wav(with([](Head& h) { h.frame = 3, h.per_second = 16000; }), many),
         "3 bytes for 1 channels"},
        {"compressed", wav(with([](Head& h) { h.format = 85; }), many), "format 85"},
        {"half a value", wav({}, many.substr(0, 399)), "no whole number"},
        {"not a number", wav(with([](Head& h) { h.format = 3, h.bits = 32; }), not_a_number),
         "no number at 0 s"},
        {"infinite", wav(with([](Head& h) { h.format = 3, h.bits = 32; }), infinite),
         "no number at 0 s"},
        {"1e30", wav(with([](Head& h) { h.format = 3, h.bits = 32; }), huge), "full scale"},
        {"short fmt", wav(with([](Head& h) { h.size = 8; }), many), "of 8 bytes"},
        {"extensible without its rest", wav(with([](Head& h) { h.format = 0xFFFE; }), many),
         "extensible"},
        {"fmt twice",
         wav({}, many, 400,
             "fmt " + little(16, 4) + little(1, 2) + little(1, 2) + little(8000, 4) +
                 little(16000, 4) + little(2, 2) + little(16, 2)),
         "two chunks"},
        {"data without fmt", "RIFF" + little(40, 4) + "WAVEdata" + little(2, 4) + two, "\"fmt \""},
        {"head alone", "RIFF" + little(4, 4) + "WAVE", "\"fmt \""},
        {"big endian", "RIFX" + little(4, 4) + "WAVE", "another kind"},
        {"64 bit", "RF64" + little(4, 4) + "WAVE", "another kind"},
        {"RIFF of a film", "RIFF" + little(4, 4) + "AVI LIST", "does not begin"},
        {"4 bytes", "RIFF", "does not begin"},
        {"script in a chunk's name", wav({}, many, 400, "<s\">" + little(0xFFFFFFFFULL, 4)),
         "\"<s?>\""},
        {"chunk of 4 GB before the sound", wav({}, many, 400, "LIST" + little(0xFFFFFFF0ULL, 4)),
         "claims"},
    };
}

std::vector<Bad> bad_tables() {
    const std::string head = "time [s],flywheel speed [rpm]\n";
    const std::string rows = "0,800\n0.01,810\n0.02,820\n0.03,810\n";
    std::string deep;
    for (int i = 0; i < 3001; ++i) deep += "\"";
    return {
        {"empty", "", "an empty file"},
        {"blank lines", "\n\n   \n", "blank lines"},
        {"one line", head, "no row of numbers"},
        {"one row", head + "0,800\n", "one row"},
        {"NaN", head + rows + "0.04,NaN\n", "finite number"},
        {"infinite", head + rows + "0.04,inf\n", "finite number"},
        {"1e999", head + rows + "0.04,1e999\n", "computer can hold"},
        {"an empty cell", head + rows + "0.04,\n", "an empty cell"},
        {"time back", head + rows + "0.02,810\n", "less than in the row before"},
        {"time twice", head + rows + "0.03,815\n", "twice"},
        {"all at one time", head + "0,1\n0,2\n0,3\n0,4\n", "twice"},
        {"a ragged row", head + rows + "0.04\n", "1 cell"},
        {"a row too long", head + rows + "0.04,1,2,3\n", "4 cells"},
        {"mixed separators", "time [s],speed [rpm]\n0;800\n1;801\n2;800\n3;801\n", "semicolons"},
        {"tabs and semicolons", "time [s];speed [rpm]\tx\n0;1\t2\n", "tabs and semicolons"},
        {"decimal comma between commas", head + "0,0,800,1\n0,1,801,0\n0,2,800,0\n0,3,801,2\n",
         "decimal sign"},
        {"two decimal signs", "time [s];speed [rpm]\n0.5;800,5\n1.5;801,5\n2.5;1,5\n3.5;1,5\n",
         "decimal sign"},
        {"no unit", "time,speed\n0,1\n1,2\n2,3\n3,4\n", "no unit"},
        {"a wrong unit", "time [rpm],speed [rpm]\n0,1\n1,2\n2,3\n3,4\n", "unit"},
        {"an unknown unit", "time [s],speed [furlong]\n0,1\n1,2\n2,3\n3,4\n", "furlong"},
        {"no time", "speed [rpm],x\n1,2\n2,3\n3,4\n4,5\n", "no column \"time\""},
        {"time alone", "time [s],torque [N m]\n0,1\n1,2\n2,3\n3,4\n", "nothing measured"},
        // A missing column comes before the decimal sign, which 1,234 leaves open.
        {"other names", "Zeit [s];speed [1/min]\n1,234;800\n1,235;801\n1,236;802\n1,237;803\n",
         "no column \"time\" and none \"pulse time\"; there is \"Zeit [s]\""},
        {"one other name", "time [s];Drehzahl [1/min]\n1,234;800\n1,235;801\n1,236;802\n",
         "has a known name; there is \"Drehzahl [1/min]\""},
        {"two speeds", "time [s],speed [rpm],n [rpm]\n0,1,1\n1,2,2\n", "mean the same"},
        {"speed and flywheel speed",
         "time [s],speed [rpm],flywheel speed [rpm]\n0,1,1\n1,2,2\n2,1,1\n3,2,2\n", "two columns"},
        {"two wheels in one table",
         "pulse time [s],gearbox input pulse time [s]\n0,0\n1,1\n2,2\n3,3\n", "two wheels"},
        {"pulses that go back", "pulse time [s]\n0\n1\n3\n2\n4\n", "less than"},
        {"numbers without names", "0,800\n1,801\n2,802\n3,803\n", "numbers in the first line"},
        {"impossibly fast", head + "0,1e9\n1,1e9\n2,1e9\n3,1e9\n", "Look at the unit"},
        {"a time in the year 30000", head + "1e12,800\n2e12,800\n3e12,800\n4e12,800\n",
         "Look at the unit"},
        {"bytes that are no text", std::string("time [s],speed [rpm]\n\xFF\xFE\x00\x01", 25),
         "expected"},
        {"an object file", std::string("\x7F") + "ELF" + std::string(300, '\0'), "expected"},
        {"UTF-16", std::string("\xFF\xFEt\0i\0m\0e\0", 10), "UTF-16"},
        {"quotation marks", deep, "quotation mark"},
        {"carriage returns alone", "time [s],speed [rpm]\r0,1\r1,2\r", "carriage return"},
        {"a script for a column", "time [s],<script>alert(1)</script>\n0,1\n1,2\n2,3\n3,4\n",
         "nothing measured"},
        {"a formula for a number", head + rows + "0.04,=1+1\n", "a number"},
    };
}

}  // namespace

TEST_CASE("a recording that is damaged or means harm is refused in words") {
    std::vector<Bad> all = bad_sounds();
    for (Bad& one : bad_tables()) all.push_back(std::move(one));
    REQUIRE(all.size() >= 60);
    for (const Bad& one : all) {
        CAPTURE(one.name);
        std::string message;
        try {
            static_cast<void>(parse_recording(one.bytes, "some.csv"));
        } catch (const InputError& error) {
            message = error.what();
        }
        CAPTURE(message);
        CHECK(message.find("some.csv") != std::string::npos);
        CHECK(message.find(one.said) != std::string::npos);
    }
}

TEST_CASE("every cut of a sound is refused or read whole, and every flipped byte too") {
    std::vector<double> tone;
    for (int i = 0; i < 64; ++i) tone.push_back(0.5 * std::sin(0.3 * i));
    const std::string good = wav_bytes(tone, 8000);
    REQUIRE(parse_wav(good, "x").sound.size() == tone.size());
    int refused = 0;
    for (std::size_t n = 0; n < good.size(); ++n) {
        try {
            static_cast<void>(parse_wav(std::string_view(good).substr(0, n), "x"));
        } catch (const InputError&) {
            ++refused;
        }
    }
    CHECK(refused == static_cast<int>(good.size()));
    for (std::size_t n = 0; n < 44; ++n) {
        for (const int flip : {0x01, 0x80, 0xFF}) {
            std::string bad = good;
            bad[n] = static_cast<char>(static_cast<unsigned char>(bad[n]) ^
                                       static_cast<unsigned char>(flip));
            try {
                const std::size_t values = parse_wav(bad, "x").sound.size();
                CHECK(values <= bad.size());
            } catch (const InputError&) {
                ++refused;
            }
        }
    }
}

TEST_CASE("what can be read but tells nothing gets remarks and no figures") {
    const auto findings_of = [](WorkshopRecording recording, RecordingRequest request = {}) {
        return find_in_recordings({std::move(recording)}, request).front();
    };
    const auto says = [](const RecordingFindings& findings, std::string_view about) {
        return std::ranges::any_of(findings.quality,
                                   [&](const QualityNote& one) { return one.about == about; });
    };
    WorkshopRecording still{.kind = RecordingKind::speed, .name = "x"};
    WorkshopRecording stopped = still, coarse = still, few = still;
    for (int i = 0; i < 4000; ++i) {
        const double t = 0.001 * i;
        still.time.push_back(t);
        still.flywheel.push_back(84.0);
        stopped.time.push_back(t);
        stopped.flywheel.push_back(84.0 - 30.0 * t);
        if (i % 100 == 0) coarse.time.push_back(t), coarse.flywheel.push_back(84.0 + i % 7);
        if (i < 40) few.time.push_back(t), few.flywheel.push_back(84.0 + i % 3);
    }
    RecordingRequest four;
    four.cylinders = 4;
    for (const auto& [recording, about] : {std::pair{still, "no signal"},
                                           {stopped, "standing still"},
                                           {coarse, "sampling"},
                                           {few, "too short"}}) {
        CAPTURE(about);
        const RecordingFindings findings = findings_of(recording, four);
        CHECK(says(findings, about));
        CHECK_FALSE(findings.usable());
        CHECK(findings.figures.empty());
    }
    // Ten thousand million revolutions in four rows: nothing may be made of the angle.
    WorkshopRecording years{.kind = RecordingKind::speed, .name = "x"};
    years.time = {0.0, 1e8, 2e8, 3e8};
    years.flywheel = {100.0, 110.0, 120.0, 110.0};
    CHECK(says(findings_of(years, four), "sampling"));
    // A speed that jumps so that its angle turns back between rows.
    WorkshopRecording jumps{.kind = RecordingKind::speed, .name = "x"};
    for (int i = 0; i < 4000; ++i) {
        jumps.time.push_back(0.001 * i + (i % 100 == 50 ? 9e-4 : 0.0));
        jumps.flywheel.push_back(i % 100 == 51 ? 2000.0 : 80.0 + i % 5);
    }
    CHECK_FALSE(findings_of(jumps, four).usable());
    WorkshopRecording silence{.kind = RecordingKind::sound, .name = "x"};
    silence.step = 1.0 / 8000;
    silence.sound.assign(20000, 0.0);
    CHECK(says(findings_of(silence), "no signal"));
    WorkshopRecording clipped = silence, click = silence;
    for (std::size_t i = 0; i < clipped.sound.size(); ++i) {
        clipped.sound[i] = std::clamp(
            3.0 * std::sin(0.9 * static_cast<double>(i)) + std::sin(0.011 * static_cast<double>(i)),
            -1.0, 1.0);
        click.sound[i] =
            i < 9000 || i > 9100 ? std::sin(0.9 * static_cast<double>(i * i % 977)) : 0.0;
    }
    CHECK(says(findings_of(clipped), "clipping"));
    CHECK(says(findings_of(click), "drop-outs"));
    click.sound.resize(100);
    CHECK(says(findings_of(click), "too short"));
    WorkshopRecording pulses{.kind = RecordingKind::pulses, .name = "x"};
    for (int i = 0; i < 1000; ++i) pulses.time.push_back(0.001 * i + 1e-5 * (i % 3));
    CHECK_FALSE(findings_of(pulses).usable());  // no mark, no count
    RecordingRequest wheel;
    wheel.flywheel_wheel = {3, 0};
    CHECK_FALSE(findings_of(pulses, wheel).usable());
    wheel.flywheel_wheel = {60, 2};
    CHECK(says(findings_of(pulses, wheel), "tooth count"));
}
