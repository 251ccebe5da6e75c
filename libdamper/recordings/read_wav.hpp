// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/recordings/recording.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <string_view>

namespace damper {

inline constexpr std::size_t largest_wav = std::size_t{256} * 1024 * 1024;  ///< [bytes]
inline constexpr std::size_t most_sound = std::size_t{1} << 25U;  ///< Values of one channel.

/// Sound from the bytes of a WAV file (RIFF): whole numbers of 8, 16, 24 or 32 bit or floating
/// point of 32 or 64 bit, plain or in the extensible form, 1 to 64 channels, 1 kHz to 1 MHz. One
/// channel is taken, counted from 1. Chunks that are not needed are passed over.
///
/// Every size in the file is held against the bytes there are before anything is taken by it: a
/// file that claims more than it has is refused, as is compressed sound.
/// Throws InputError with what was found, what was expected, and how to mend it.
///
/// Source: Multimedia Programming Interface and Data Specifications 1.0, 1991, chapter 3 (RIFF
/// WAVE); the extensible form recalled.
[[nodiscard]] WorkshopRecording parse_wav(std::string_view bytes, const std::string& name,
                                          int channel = 1);

/// A WAV file of one channel, 16 bit: values beyond ±1 are cut off. `rate` a whole number of Hz.
[[nodiscard]] std::string wav_bytes(std::span<const double> sound, int rate);

}  // namespace damper
