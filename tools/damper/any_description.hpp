// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/read.hpp"

#include <filesystem>
#include <string>

namespace damper::command {

/// What a description file describes.
enum class DescriptionKind { scenario, vehicle, disc };

/// Tells by the names at the beginning of lines: a scenario has a manoeuvre or names a vehicle, a
/// disc has stages, and the rest is taken for a vehicle. A guess is enough: the reader of that
/// kind then says what is wrong. Throws InputError if there is no such file.
[[nodiscard]] DescriptionKind kind_of(const std::filesystem::path& file);

/// The file meant by a word on the command line, looked for among scenarios, vehicles and discs.
[[nodiscard]] std::filesystem::path locate_any(const std::string& word,
                                               const std::filesystem::path& models);

/// A disc with the name of the file it was taken from.
struct NamedDisc {
    std::string name;
    Disc disc;
};

/// The disc of a disc, vehicle or scenario file. Throws InputError.
[[nodiscard]] NamedDisc read_disc_of(const std::string& word, const ReadOptions& options);

}  // namespace damper::command
