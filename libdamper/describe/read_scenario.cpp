// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/base/nearest_word.hpp"
#include "libdamper/describe/change.hpp"
#include "libdamper/describe/part_files.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/describe/read_bands.hpp"
#include "libdamper/describe/read_data.hpp"
#include "libdamper/describe/read_part.hpp"
#include "libdamper/describe/scenario_reader.hpp"
#include "libdamper/quantity/read_unit_text.hpp"
#include "libdamper/scenario/check.hpp"
#include "libdamper/scenario/scenario_fields.hpp"

#include <algorithm>
#include <fmt/ranges.h>
#include <map>
#include <optional>
#include <set>
#include <tuple>
#include <type_traits>
#include <variant>

namespace damper {

namespace {

[[noreturn]] void throw_sorted(std::vector<Finding> findings) {
    std::ranges::stable_sort(findings, {}, [](const Finding& one) {
        return std::tuple(one.place.file, one.place.line, one.place.column);
    });
    throw InputError(std::move(findings));
}

/// What every reading from files begins with.
struct Reading {
    explicit Reading(const ReadOptions& options) : files(options.models, map, findings) {}

    SourceMap map;
    std::vector<Finding> findings;
    PartFiles files;
    std::map<std::string, std::string> provenance;
    std::map<std::string, std::string> written;
};

/// The changes that still hold at the end: not those whose key, or the part around it, was
/// replaced by a later one.
std::vector<std::pair<std::string, std::string>> lasting(const std::vector<Change>& changes,
                                                         const std::vector<Change>& settings) {
    const auto covers = [](const std::string& part, const std::string& key) {
        return key == part || key.starts_with(part + ".") || key.starts_with(part + "[");
    };
    std::vector<std::pair<std::string, std::string>> kept;
    for (const auto& change : changes) {
        const bool covered = std::ranges::any_of(settings, [&](const Change& later) {
            return !multiplies(later) && covers(later.key, change.key);
        });
        if (!covered) kept.emplace_back(change.key, as_written(change.node));
    }
    for (std::size_t i = 0; i < settings.size(); ++i) {
        bool repeated = false;
        for (std::size_t j = i + 1; j < settings.size(); ++j) {
            repeated = repeated || (settings[j].key == settings[i].key && !multiplies(settings[j]));
        }
        if (!repeated) kept.emplace_back(settings[i].key, as_written(settings[i].node));
    }
    return kept;
}

void read_text(const TreeNode& root, std::string_view key, std::string& value, PartReader& reader) {
    const TreeEntry* entry = find_entry(*root.table(), key);
    if (entry == nullptr) return;
    reader.note(std::string(key), entry->node);
    if (auto text = reader.values().text(entry->node, std::string(key), any())) {
        value = std::move(*text);
    }
}

/// The table that lists a manoeuvre's keys; tip-in and back-out share one, pull and overrun too.
template <class Kind>
using Keys =
    std::conditional_t<std::is_base_of_v<TorqueChange, Kind>, TorqueChange,
                       std::conditional_t<std::is_base_of_v<SpeedRun, Kind>, SpeedRun, Kind>>;

template <std::size_t kind = 0>
void read_manoeuvre_as(std::string_view name, const TreeNode& node, Manoeuvre& manoeuvre,
                       PartReader& reader) {
    if constexpr (kind < std::variant_size_v<Manoeuvre>) {
        if (name != manoeuvre_kinds()[kind]) {
            return read_manoeuvre_as<kind + 1>(name, node, manoeuvre, reader);
        }
        using Kind = std::variant_alternative_t<kind, Manoeuvre>;
        reader.read(node, "manoeuvre", static_cast<Keys<Kind>&>(manoeuvre.emplace<kind>()),
                    {"kind"});
    }
}

void read_manoeuvre(const TreeNode& node, Manoeuvre& manoeuvre, PartReader& reader) {
    const TreeNode::Table* table = reader.table_of(node, "manoeuvre", "a manoeuvre");
    if (table == nullptr) return;
    const std::vector<std::string_view> kinds(manoeuvre_kinds().begin(), manoeuvre_kinds().end());
    const TreeEntry* entry = find_entry(*table, "kind");
    if (entry == nullptr) {
        return reader.refuse_missing(node.spot, "manoeuvre.kind", "What is done with the vehicle",
                                     fmt::format("\"{}\"", fmt::join(kinds, "\" or \"")));
    }
    reader.note("manoeuvre.kind", entry->node);
    const auto kind = reader.values().text(entry->node, "manoeuvre.kind", one_of(kinds));
    if (kind) read_manoeuvre_as(*kind, node, manoeuvre, reader);
}

/// Takes the [change] table out of the root, applies it and then the settings, which so win.
void apply_changes(TreeNode& root, const std::filesystem::path& folder, const ReadOptions& options,
                   Reading& reading, Scenario& scenario) {
    std::vector<Change> changes;
    TreeNode::Table& table = *root.table();
    if (TreeEntry* entry = find_entry(table, "change")) {
        if (entry->node.table() == nullptr) {
            reading.findings.push_back({reading.map.place(entry->node.spot), "change",
                                        in_words(entry->node), "a table [change]", ""});
        }
        changes = changes_in(entry->node);
        std::erase_if(table, [](const TreeEntry& one) { return one.key == "change"; });
    }
    const auto settings = changes_in(options.changes, reading.map, reading.findings);
    scenario.changes = lasting(changes, settings);
    for (std::size_t i = 0; i < options.changes.size(); ++i) {
        const OfCause cause = cause_of(options, i);
        if (!cause.name.empty()) scenario.causes.emplace_back(options.changes[i].first, cause.name);
    }
    scenario.changed_from_outside = std::ranges::any_of(
        options.changes, [](const auto& setting) { return !setting.first.starts_with("expect."); });
    const ChangeTarget target{root, scenario_schema(), "vehicle", folder};
    apply(std::move(changes), target, reading.files, reading.map, reading.findings);
    apply(settings, target, reading.files, reading.map, reading.findings);
}

void read_parts(const TreeNode& root, const ReadOptions& options, PartReader& reader,
                Scenario& scenario) {
    const auto known = [] {
        auto names = scenario_schema().key_names();
        names.emplace_back("change");
        return names;
    }();
    reader.refuse_unknown(*root.table(), "", "a scenario", known);
    read_text(root, "title", scenario.title, reader);
    read_text(root, "origin", scenario.origin, reader);
    const auto part = [&](std::string_view key) { return find_entry(*root.table(), key); };
    if (part("title") == nullptr) {
        reader.refuse_missing(root.spot, "title", "Name for people", "a text in quotation marks");
    }
    if (part("vehicle") == nullptr) {
        reader.refuse_missing(root.spot, "vehicle", "The vehicle that is driven",
                              "the name of a vehicle of the models folder");
    } else if (reader.table_of(part("vehicle")->node, "vehicle", "a vehicle") != nullptr) {
        reader.read(part("vehicle")->node, "", scenario.vehicle);
    }
    if (part("manoeuvre") == nullptr) {
        reader.refuse_missing(root.spot, "manoeuvre", "What is done with the vehicle",
                              "a table [manoeuvre]");
    } else {
        read_manoeuvre(part("manoeuvre")->node, scenario.manoeuvre, reader);
    }
    const TreeNode empty{TreeNode::Table{}, root.spot, TreeNode::Origin::file};
    const auto or_empty = [&](std::string_view key) -> const TreeNode& {
        return part(key) != nullptr ? part(key)->node : empty;
    };
    reader.read(or_empty("conditions"), "conditions", scenario.conditions);
    reader.read(or_empty("recording"), "recording", scenario.recording);
    if (part("expect") != nullptr) {
        scenario.bands = read_bands(part("expect")->node, options.measures, reader);
    }
}

/// Reads a part that is described by a file of its own.
template <class Part>
Part read_alone(const std::filesystem::path& file, const ReadOptions& options,
                std::string_view name, const std::string& path,
                std::map<std::string, std::string>* provenance = nullptr,
                std::map<std::string, std::string>* written = nullptr) {
    Reading reading(options);
    TreeNode node = reading.files.read_first(file, schema_of<Part>());
    if (node.broken()) throw_sorted(std::move(reading.findings));
    TreeNode root;
    root.spot = node.spot;
    root.value = TreeNode::Table{{std::string(name), node.spot, std::move(node)}};
    const PartSchema holder = holder_of(name, schema_of<Part>());
    apply(changes_in(options.changes, reading.map, reading.findings),
          {root, holder, name, file.parent_path()}, reading.files, reading.map, reading.findings);
    Part part;
    PartReader reader(reading.map, reading.findings, reading.provenance, reading.written);
    reader.read(root.table()->front().node, path, part);
    if constexpr (requires(DataFiles & data) { read_data(part, data); }) {
        DataFiles data(options.models, reading.map, reading.findings);
        if (reading.findings.empty()) read_data(part, data);
    }
    if (!reading.findings.empty()) throw_sorted(std::move(reading.findings));
    if (provenance != nullptr) *provenance = std::move(reading.provenance);
    if (written != nullptr) *written = std::move(reading.written);
    return part;
}

}  // namespace

void add_cause(const Cause& cause, ReadOptions& options) {
    options.causes.resize(options.changes.size());
    for (const auto& change : cause.changes) {
        options.changes.push_back(change);
        options.causes.push_back({cause.name, goes_with_disc(cause, change.first)});
    }
}

OfCause cause_of(const ReadOptions& options, std::size_t change) {
    return change < options.causes.size() ? options.causes[change] : OfCause();
}

Scenario read_scenario(const std::filesystem::path& file, const ReadOptions& options) {
    Reading reading(options);
    Scenario scenario;
    scenario.name = file.stem().string();
    TreeNode root = reading.files.read_first(file, scenario_schema());
    if (root.broken()) throw_sorted(std::move(reading.findings));
    apply_changes(root, file.parent_path(), options, reading, scenario);
    PartReader reader(reading.map, reading.findings, reading.provenance, reading.written);
    read_parts(root, options, reader, scenario);
    DataFiles data(options.models, reading.map, reading.findings);
    if (reading.findings.empty()) read_data(scenario, data);
    if (reading.findings.empty()) reader.add(check(scenario), "");
    if (!reading.findings.empty()) throw_sorted(std::move(reading.findings));
    scenario.inputs = reading.files.inputs();
    scenario.inputs.insert(scenario.inputs.end(), data.inputs().begin(), data.inputs().end());
    scenario.provenance = std::move(reading.provenance);
    scenario.written = std::move(reading.written);
    return scenario;
}

struct ScenarioReader::Kept {
    explicit Kept(const ReadOptions& given) : options(given), reading(options) {}

    ReadOptions options;
    Reading reading;
    std::filesystem::path file;
    TreeNode root;
    Scenario first;  ///< As the file and the options' changes have it, without parts.
    Spot spot;       ///< Of a change that comes later.
    std::map<std::string, TreeNode> lists;  ///< Values of such changes that are lists, by text.
};

ScenarioReader::ScenarioReader(const std::filesystem::path& file, const ReadOptions& options)
    : kept_(std::make_unique<Kept>(options)) {
    Kept& kept = *kept_;
    kept.file = file;
    kept.root = kept.reading.files.read_first(file, scenario_schema());
    if (kept.root.broken()) throw_sorted(std::move(kept.reading.findings));
    apply_changes(kept.root, file.parent_path(), options, kept.reading, kept.first);
    if (!kept.reading.findings.empty()) throw_sorted(std::move(kept.reading.findings));
    kept.first.name = file.stem().string();
    kept.first.inputs = kept.reading.files.inputs();
    kept.spot = {kept.reading.map.add("variant", ""), 0, 0};
}

ScenarioReader::ScenarioReader(ScenarioReader&&) noexcept = default;
ScenarioReader::~ScenarioReader() = default;

Scenario ScenarioReader::read(const std::vector<std::pair<std::string, std::string>>& changes) {
    Reading& reading = kept_->reading;
    reading.findings.clear();
    reading.provenance.clear();
    reading.written.clear();
    TreeNode root = kept_->root;
    Scenario scenario = kept_->first;
    PartFiles files(kept_->options.models, reading.map, reading.findings);
    std::vector<Change> list;
    for (const auto& [key, value] : changes) {
        if (value.starts_with('[') || value.starts_with('{')) {
            // Lists are read as TOML, once: each reading adds a source to the map.
            auto found = kept_->lists.find(value);
            if (found == kept_->lists.end()) {
                auto read = changes_in({{key, value}}, reading.map, reading.findings);
                if (read.empty()) continue;
                found = kept_->lists.emplace(value, std::move(read.front().node)).first;
            }
            list.push_back({key, found->second});
        } else {
            list.push_back({key, {value, kept_->spot, TreeNode::Origin::set}});
        }
        scenario.changes.emplace_back(key, value);
    }
    scenario.changed_from_outside = scenario.changed_from_outside || !changes.empty();
    apply(std::move(list), {root, scenario_schema(), "vehicle", kept_->file.parent_path()}, files,
          reading.map, reading.findings);
    PartReader reader(reading.map, reading.findings, reading.provenance, reading.written);
    read_parts(root, kept_->options, reader, scenario);
    DataFiles data(kept_->options.models, reading.map, reading.findings);
    if (reading.findings.empty()) read_data(scenario, data);
    if (reading.findings.empty()) reader.add(check(scenario), "");
    if (!reading.findings.empty()) throw_sorted(std::exchange(reading.findings, {}));
    for (const auto* more : {&files.inputs(), &data.inputs()}) {
        scenario.inputs.insert(scenario.inputs.end(), more->begin(), more->end());
    }
    scenario.provenance = reading.provenance;
    scenario.written = reading.written;
    return scenario;
}

Vehicle read_vehicle(const std::filesystem::path& file, const ReadOptions& options,
                     std::map<std::string, std::string>* provenance,
                     std::map<std::string, std::string>* written) {
    return read_alone<Vehicle>(file, options, "vehicle", "", provenance, written);
}

Disc read_disc(const std::filesystem::path& file, const ReadOptions& options) {
    return read_alone<Disc>(file, options, "disc", "disc");
}

}  // namespace damper
