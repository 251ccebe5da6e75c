// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/cover_record.hpp"
#include "libdamper/results/fit_record.hpp"
#include "libdamper/results/heat_record.hpp"
#include "libdamper/results/modes_record.hpp"
#include "libdamper/results/orbit_record.hpp"
#include "libdamper/results/response_record.hpp"
#include "libdamper/results/run_record.hpp"
#include "libdamper/results/study_record.hpp"

#include <cstddef>
#include <filesystem>
#include <span>
#include <string>
#include <variant>

namespace damper {

/// What a file of results may hold.
using AnyRecord = std::variant<RunRecord, ModesRecord, ResponseRecord, OrbitRecord, CoverRecord,
                               HeatRecord, FitRecord, StudyRecord>;

/// Reads a file of results of any kind by what it says it is (root attribute `format`). A record
/// that is read is the record that was written, so that the page made from it is the page that the
/// verb leaves. Throws as read_result() does (result_file.hpp), and guards as it does.
[[nodiscard]] AnyRecord read_any(const std::filesystem::path& path);

/// The same from bytes; `name` stands in messages.
[[nodiscard]] AnyRecord parse_any(std::span<const std::byte> bytes, const std::string& name);

}  // namespace damper
