// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/describe/resolved.hpp"
#include "libdamper/outputs/visible_text.hpp"
#include "libdamper/parts/vehicle_fields.hpp"

#include "tools/damper/any_description.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/show_list.hpp"
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
    "Without FILE, or with the word models: what is built in, by name.\n"
    "\nExample:\n"
    "  damper show\n"
    "  damper show car_idle_hot --set 'body.mass=1500 kg'\n";

/// Places inside the models folder and beside it, without the way there.
std::string short_place(std::string where, const std::filesystem::path& models) {
    if (models.empty()) return where;
    const std::string root = models.parent_path().lexically_normal().generic_string() + "/";
    const std::size_t at = root.size() > 1 ? where.find(root) : std::string::npos;
    return at == std::string::npos ? where : where.erase(at, root.size());
}

/// Values longer than the column stand out of it, so that titles do not push the places away.
std::string as_text(const std::vector<ResolvedValue>& values, const std::filesystem::path& models) {
    std::size_t key_width = 0;
    std::size_t value_width = 0;
    constexpr std::size_t widest_value = 40;
    for (const ResolvedValue& value : values) {
        const std::size_t columns = columns_of(visible_text(value.value));
        key_width = std::max(key_width, columns_of(visible_text(value.key)));
        if (columns <= widest_value) value_width = std::max(value_width, columns);
    }
    const auto padded = [](const std::string& text, std::size_t width) {
        const std::string shown = visible_text(text);
        const std::size_t columns = columns_of(shown);
        return shown + std::string(width > columns ? width - columns : 0, ' ');
    };
    std::string text;
    for (const ResolvedValue& value : values) {
        const bool wide = columns_of(visible_text(value.value)) > widest_value;
        text += padded(value.key, key_width) + "  " + padded(value.value, value_width);
        if (wide) text += "\n" + std::string(key_width + value_width + 2, ' ');
        text += "  " + visible_text(short_place(value.where, models)) + "\n";
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
    const auto [file, kind] = find_description(word, options.models,
                                               {"damper show",
                                                "a scenario or a vehicle",
                                                {"scenarios", "vehicles"},
                                                {&scenario_schema(), &schema_of<Vehicle>()}});
    if (kind == &scenario_schema()) return resolved_values(read_scenario(file, options));
    std::map<std::string, std::string> provenance;
    std::map<std::string, std::string> written;
    const Vehicle vehicle = read_vehicle(file, options, &provenance, &written);
    return resolved_values(vehicle, provenance, written);
}

}  // namespace

int show(const Words& words) {
    std::string file;
    std::string format = "text";
    DescriptionOptions description;
    CLI::App app{"Show the resolved values and where each came from, or what is built in.",
                 "damper show"};
    app.add_option("FILE", file, "Scenario or vehicle: a file, or the name of a built-in one");
    description.tie_to(app);
    tie_format(app, format, {"text", "json"});
    app.footer(example);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    require_one_of("--format", format, {"text", "json"});

    const ReadOptions read_options = description.read_options();
    const bool list = file.empty() || file == "models";
    if (list && !read_options.changes.empty()) {
        throw InputError(
            "--set changes a scenario or a vehicle: name one, for example\n"
            "    damper show car_idle_hot --set 'body.mass=1500 kg'");
    }
    if (list) {
        print_result(built_in_list(read_options.models, format));
        return to_int(ExitStatus::done);
    }
    const auto values = values_of(file, read_options);
    print_result(format == "json" ? as_json(values) : as_text(values, read_options.models));
    return to_int(ExitStatus::done);
}

}  // namespace damper::command
