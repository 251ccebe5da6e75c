// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/disc.hpp"
#include "libdamper/parts/vehicle.hpp"
#include "libdamper/scenario/cause.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <cstddef>
#include <filesystem>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// Where parts are looked for, and what the command line overrides.
struct ReadOptions {
    std::filesystem::path models;  ///< The models folder; includes may also lie beside their file.
    std::vector<std::pair<std::string, std::string>> changes;  ///< --set KEY=VALUE, in order.
    /// Of each change the cause that it belongs to; may be shorter, the rest belong to none.
    std::vector<OfCause> causes{};
    /// Known measures with their units, to check the bands against; empty: not checked.
    std::vector<std::pair<std::string, std::string>> measures{};
};

/// Adds what a cause changes, after the changes that are there.
void add_cause(const Cause& cause, ReadOptions& options);

/// The cause that a change of the options belongs to; one without a name if it belongs to none.
[[nodiscard]] OfCause cause_of(const ReadOptions& options, std::size_t change);

/// Reads a scenario with its vehicle and all parts. Throws InputError with every finding.
[[nodiscard]] Scenario read_scenario(const std::filesystem::path& file, const ReadOptions& options);

/// Reads a vehicle with all parts. Throws InputError with every finding. If asked for,
/// `provenance` and `written` take where each value came from and how it was written, as in
/// Scenario.
[[nodiscard]] Vehicle read_vehicle(const std::filesystem::path& file, const ReadOptions& options,
                                   std::map<std::string, std::string>* provenance = nullptr,
                                   std::map<std::string, std::string>* written = nullptr);

/// Reads a disc. Throws InputError with every finding.
[[nodiscard]] Disc read_disc(const std::filesystem::path& file, const ReadOptions& options);

}  // namespace damper
