// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/describe/resolved.hpp"

#include "tools/damper/any_description.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace damper::command {

namespace {

constexpr const char* example =
    "Every value after includes, [change] and --set, with its unit and where it came from.\n"
    "\nExample:\n"
    "  damper show car_idle_hot --set 'body.mass=1500 kg'\n";

std::string as_text(const std::vector<ResolvedValue>& values) {
    std::size_t key_width = 0;
    std::size_t value_width = 0;
    constexpr std::size_t widest_value = 40;  // a long title must not push the places away
    for (const ResolvedValue& value : values) {
        key_width = std::max(key_width, value.key.size());
        value_width = std::clamp(value.value.size(), value_width, widest_value);
    }
    std::string text;
    for (const ResolvedValue& value : values) {
        text += printable(fmt::format("{:<{}}  {:<{}}  {}", value.key, key_width, value.value,
                                      value_width, value.where)) +
                "\n";
    }
    return text;
}

std::string as_json(const std::vector<ResolvedValue>& values) {
    nlohmann::ordered_json json;
    json["values"] = nlohmann::ordered_json::array();
    for (const ResolvedValue& value : values) {
        json["values"].push_back({{"key", value.key},
                                  {"value", value.value},
                                  {"from", value.where},
                                  {"meaning", value.meaning}});
    }
    return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

std::vector<ResolvedValue> values_of(const std::string& word, const ReadOptions& options) {
    const std::filesystem::path file = locate_any(word, options.models);
    switch (kind_of(file)) {
        case DescriptionKind::scenario:
            return resolved_values(read_scenario(file, options));
        case DescriptionKind::vehicle: {
            std::map<std::string, std::string> provenance;
            const Vehicle vehicle = read_vehicle(file, options, &provenance);
            return resolved_values(vehicle, provenance);
        }
        case DescriptionKind::disc:
            break;
    }
    throw InputError(fmt::format("{} describes a disc alone; show takes a scenario or a vehicle",
                                 file.string()));
}

}  // namespace

int show(const Words& words) {
    std::string file;
    std::string format = "text";
    DescriptionOptions description;
    CLI::App app{"Show the resolved values and where each came from.", "damper show"};
    app.add_option("FILE", file, "Scenario or vehicle: a file, or the name of a built-in one")
        ->required();
    description.tie_to(app);
    tie_format(app, format, {"text", "json"});
    app.footer(example);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    require_one_of("--format", format, {"text", "json"});

    const auto values = values_of(file, description.read_options());
    print_result(format == "json" ? as_json(values) : as_text(values));
    return to_int(ExitStatus::done);
}

}  // namespace damper::command
