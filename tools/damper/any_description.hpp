// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/read.hpp"
#include "libdamper/describe/schema.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace damper::command {

/// Tells what a description file describes by the names at its top level: the shape that knows
/// most of them. Null if none knows any, if two know as many, or if there is no such file: the
/// reader then says what is wrong. Throws FileError.
[[nodiscard]] const PartSchema* kind_of(const std::filesystem::path& file);

/// What a verb can work on.
struct Wanted {
    std::string verb;                  ///< "damper run"
    std::string needs;                 ///< "a scenario"
    std::vector<std::string> folders;  ///< Where bare names are looked for: "scenarios", …
    std::vector<const PartSchema*> kinds;
};

/// A description file and what it describes.
struct FoundDescription {
    std::filesystem::path file;
    const PartSchema* kind = nullptr;  ///< One of those wanted, or null if that cannot be told.
};

/// The file meant by a word on the command line. Throws InputError with the nearest names if there
/// is none, and with a word on what the file is instead if the verb cannot work on it.
[[nodiscard]] FoundDescription find_description(const std::string& word,
                                                const std::filesystem::path& models,
                                                const Wanted& wanted);

/// A disc with the name of the file it was taken from.
struct NamedDisc {
    std::string name;
    Disc disc;
};

/// The disc of a disc, vehicle or scenario file; `verb` is who asks. Throws InputError.
[[nodiscard]] NamedDisc read_disc_of(const std::string& word, const ReadOptions& options,
                                     const std::string& verb);

}  // namespace damper::command
