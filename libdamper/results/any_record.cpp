// SPDX-License-Identifier: MIT
#include "libdamper/results/any_record.hpp"

#include "libdamper/results/cover_layout.hpp"
#include "libdamper/results/fit_layout.hpp"
#include "libdamper/results/heat_layout.hpp"
#include "libdamper/results/layout.hpp"
#include "libdamper/results/modes_layout.hpp"
#include "libdamper/results/orbit_layout.hpp"
#include "libdamper/results/readers.hpp"
#include "libdamper/results/response_layout.hpp"
#include "libdamper/results/sealed_source.hpp"
#include "libdamper/results/study_layout.hpp"

#include <array>
#include <fmt/format.h>
#include <string_view>

namespace damper {

namespace {

struct Kind {
    std::string_view format;
    AnyRecord (*read)(const GroupIn& root);
};

template <auto Read>
AnyRecord taken(const GroupIn& root) {
    return Read(root);
}

constexpr std::array kinds{
    Kind{layout::format_name, taken<read_run>},
    Kind{layout::modes_format_name, taken<read_modes>},
    Kind{layout::response_format_name, taken<read_response>},
    Kind{layout::orbit_format_name, taken<read_orbit>},
    Kind{layout::cover_format_name, taken<read_cover>},
    Kind{layout::heat_format_name, taken<read_heat>},
    Kind{layout::fit_format_name, taken<read_fit>},
    Kind{layout::study_format_name, taken<read_study>},
};

AnyRecord read_by_kind(const GroupIn& root) {
    const std::string format = read_text(root.id(), "format");
    std::string known;
    for (const Kind& kind : kinds) {
        if (kind.format == format) return kind.read(root);
        known += fmt::format("{}\"{}\"", known.empty() ? "" : ", ", kind.format);
    }
    throw H5Failure(fmt::format("found a file of \"{}\", expected one of {}", format, known));
}

}  // namespace

AnyRecord parse_any(std::span<const std::byte> bytes, const std::string& name) {
    return read_sealed(bytes, name, read_by_kind);
}

AnyRecord read_any(const std::filesystem::path& path) {
    return parse_any(result_file(path), path.string());
}

}  // namespace damper
