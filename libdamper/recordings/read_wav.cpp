// SPDX-License-Identifier: MIT
#include "libdamper/recordings/read_wav.hpp"

#include "libdamper/base/digest.hpp"
#include "libdamper/base/error.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <fmt/format.h>
#include <optional>

namespace damper {

namespace {

constexpr std::size_t riff_head = 12, chunk_head = 8;
constexpr std::uint32_t lowest_rate = 1000, highest_rate = 1000000;
constexpr unsigned most_channels = 64;
constexpr unsigned whole_numbers = 1, floating = 3, extensible = 0xFFFE;
constexpr const char* save_again =
    "Save the sound again as a WAV file with PCM of 16 or 24 bit, uncompressed.";

[[noreturn]] void refuse(const std::string& name, std::string found, std::string expected,
                         std::string mend = save_again) {
    throw InputError(
        {{{name, 0, 0, ""}, "", std::move(found), std::move(expected), std::move(mend)}});
}

std::uint64_t number(std::string_view bytes, std::size_t at, std::size_t size) {
    std::uint64_t out = 0;
    for (std::size_t i = 0; i < size; ++i) {
        out |= std::uint64_t{static_cast<unsigned char>(bytes[at + i])} << (8U * i);
    }
    return out;
}

struct Format {
    unsigned kind = 0, channels = 0, bits = 0, frame = 0;
    std::uint32_t rate = 0;
};

Format read_format(std::string_view chunk, const std::string& name) {
    if (chunk.size() < 16) {
        refuse(name, fmt::format("a chunk \"fmt \" of {} bytes", chunk.size()), "at least 16");
    }
    Format format;
    format.kind = static_cast<unsigned>(number(chunk, 0, 2));
    format.channels = static_cast<unsigned>(number(chunk, 2, 2));
    format.rate = static_cast<std::uint32_t>(number(chunk, 4, 4));
    format.frame = static_cast<unsigned>(number(chunk, 12, 2));
    format.bits = static_cast<unsigned>(number(chunk, 14, 2));
    if (format.kind == extensible) {
        if (chunk.size() < 40) {
            refuse(name, fmt::format("an extensible chunk \"fmt \" of {} bytes", chunk.size()),
                   "at least 40");
        }
        format.kind = static_cast<unsigned>(number(chunk, 24, 2));
    }
    if (format.kind != whole_numbers && format.kind != floating) {
        refuse(name, fmt::format("sound in the format {}", format.kind),
               "uncompressed sound: format 1 (PCM) or 3 (floating point)");
    }
    const bool fits = format.kind == floating ? format.bits == 32 || format.bits == 64
                                              : format.bits == 8 || format.bits == 16 ||
                                                    format.bits == 24 || format.bits == 32;
    if (!fits) {
        refuse(name,
               fmt::format("{} bits a value{}", format.bits,
                           format.kind == floating ? " in floating point" : ""),
               format.kind == floating ? "32 or 64 bits" : "8, 16, 24 or 32 bits");
    }
    if (format.channels == 0 || format.channels > most_channels) {
        refuse(name, fmt::format("{} channels", format.channels),
               fmt::format("1 to {} channels", most_channels));
    }
    if (format.rate < lowest_rate || format.rate > highest_rate) {
        refuse(name, fmt::format("{} values a second", format.rate),
               fmt::format("{} to {} values a second", lowest_rate, highest_rate));
    }
    if (format.frame != format.channels * format.bits / 8) {
        refuse(name,
               fmt::format("{} bytes for {} channels of {} bits", format.frame, format.channels,
                           format.bits),
               fmt::format("{} bytes", format.channels * format.bits / 8));
    }
    const std::uint64_t a_second = number(chunk, 8, 4);
    if (a_second != std::uint64_t{format.rate} * format.frame) {
        refuse(name,
               fmt::format("{} values a second, but {} bytes a second", format.rate, a_second),
               fmt::format("{} bytes a second, or another rate",
                           std::uint64_t{format.rate} * format.frame));
    }
    return format;
}

double value_at(std::string_view data, std::size_t at, const Format& format) {
    const std::uint64_t raw = number(data, at, format.bits / 8);
    if (format.kind == floating) {
        return format.bits == 32
                   ? static_cast<double>(std::bit_cast<float>(static_cast<std::uint32_t>(raw)))
                   : std::bit_cast<double>(raw);
    }
    if (format.bits == 8) return (static_cast<double>(raw) - 128.0) / 128.0;
    const std::uint64_t sign = std::uint64_t{1} << (format.bits - 1U);
    const auto whole = static_cast<std::int64_t>(raw ^ sign) - static_cast<std::int64_t>(sign);
    return static_cast<double>(whole) / static_cast<double>(sign);
}

}  // namespace

WorkshopRecording parse_wav(std::string_view bytes, const std::string& name, int channel) {
    if (bytes.size() < riff_head || bytes.substr(0, 4) != "RIFF" || bytes.substr(8, 4) != "WAVE") {
        const bool big = bytes.starts_with("RIFX") || bytes.starts_with("RF64");
        refuse(name,
               bytes.empty() ? "an empty file"
               : big         ? "another kind of sound file"
                             : "a file that does not begin as a WAV file does",
               "\"RIFF\" and \"WAVE\" in the first 12 bytes");
    }
    WorkshopRecording out{.kind = RecordingKind::sound, .name = name, .sha256 = {}};
    std::optional<Format> format;
    std::optional<std::string_view> data;
    std::size_t at = riff_head;
    while (at + chunk_head <= bytes.size() && !data) {
        const std::string_view id = bytes.substr(at, 4);
        const std::uint64_t size = number(bytes, at + 4, 4);
        const std::size_t left = bytes.size() - at - chunk_head;
        if (size > left) {
            std::string shown;
            for (const char c : id) shown += c >= ' ' && c < 0x7F && c != '"' ? c : '?';
            refuse(name,
                   fmt::format("a chunk \"{}\" that claims {} bytes, with {} left in the file",
                               shown, size, left),
                   "chunks that end inside the file",
                   "The file is cut off or its recorder was not stopped properly. Save the sound "
                   "again with the program that recorded it.");
        }
        const std::string_view body = bytes.substr(at + chunk_head, static_cast<std::size_t>(size));
        if (id == "fmt ") {
            if (format) refuse(name, "two chunks \"fmt \"", "one");
            format = read_format(body, name);
        } else if (id == "data") {
            data = body;
        }
        at += chunk_head + static_cast<std::size_t>(size) + (size % 2);
    }
    if (!format) refuse(name, "no chunk \"fmt \" before the sound", "one that says what follows");
    if (!data || data->empty()) refuse(name, "no sound in it", "a chunk \"data\" with values");
    if (data->size() % format->frame != 0) {
        refuse(name,
               fmt::format("{} bytes of sound, no whole number of {}", data->size(), format->frame),
               "whole values of every channel");
    }
    if (channel < 1 || static_cast<unsigned>(channel) > format->channels) {
        refuse(name, fmt::format("{} channels", format->channels),
               fmt::format("a channel {}", channel), "Say with --channel which one to take.");
    }
    const std::size_t count = data->size() / format->frame;
    if (count > most_sound) {
        refuse(name, fmt::format("{:.0f} s of sound", static_cast<double>(count) / format->rate),
               fmt::format("at most {:.0f} s at this rate",
                           static_cast<double>(most_sound) / format->rate),
               "Cut the part out that is to be looked at.");
    }
    out.sha256 = sha256_hex(bytes);
    out.step = 1.0 / format->rate;
    out.channels = static_cast<int>(format->channels);
    if (format->kind == whole_numbers)
        out.smallest_step = std::ldexp(1.0, 1 - static_cast<int>(format->bits));
    out.sound.reserve(count);
    const std::size_t offset = (static_cast<std::size_t>(channel) - 1U) * format->bits / 8U;
    constexpr double loudest = 1e6;  // of full scale; beyond it is no sound
    for (std::size_t i = 0; i < count; ++i) {
        const double value = value_at(*data, i * format->frame + offset, *format);
        if (!(std::abs(value) <= loudest)) {
            refuse(name,
                   fmt::format("{} at {:.6g} s",
                               std::isfinite(value) ? "a value beyond a million times full scale"
                                                    : "a value that is no number",
                               static_cast<double>(i) * out.step),
                   "sound between -1 and 1");
        }
        out.sound.push_back(value);
    }
    if (out.channels > 1) {
        out.remarks.push_back(fmt::format("Channel {} of {} was taken.", channel, out.channels));
    }
    return out;
}

std::string wav_bytes(std::span<const double> sound, int rate) {
    std::string out;
    const auto put = [&](std::uint64_t value, unsigned size) {
        for (unsigned i = 0; i < size; ++i) out += static_cast<char>((value >> (8U * i)) & 0xFFU);
    };
    const std::uint64_t size = 2 * sound.size();
    if (size > largest_wav) throw ModelError("more sound than a file of 256 MiB holds");
    const auto each_second = static_cast<std::uint64_t>(rate);
    out += "RIFF";
    put(36 + size, 4);
    out += "WAVEfmt ";
    put(16, 4);
    put(whole_numbers, 2);
    put(1, 2);
    put(each_second, 4);
    put(2 * each_second, 4);
    put(2, 2);
    put(16, 2);
    out += "data";
    put(size, 4);
    for (const double value : sound) {
        const double cut = std::clamp(value, -1.0, 1.0) * 32767.0;
        put(static_cast<std::uint64_t>(std::lround(cut)) & 0xFFFFU, 2);
    }
    return out;
}

}  // namespace damper
