// SPDX-License-Identifier: MIT
#include "libdamper/describe/read_study.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/change.hpp"
#include "libdamper/describe/part_files.hpp"
#include "libdamper/describe/read_part.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <string_view>

namespace damper {

namespace {

using Kind = SchemaKey::Kind;
using Names = std::vector<std::string>;

Names keys_of(const std::string& study) {
    Names out = {"study", "title", "origin", "scenarios", "causes", "set"};
    const auto add = [&](const Names& more) { out.insert(out.end(), more.begin(), more.end()); };
    if (study == "vary") add({"over", "design", "count", "seed", "measures"});
    if (study == "scatter") add({"spread", "count", "seed", "measures"});
    if (study == "compare") add({"discs", "conditions"});
    if (study == "tune") {
        add({"free", "conditions", "leave_out", "front", "evaluations", "seed", "method",
             "packaging"});
    }
    return out;
}

class StudyReader {
  public:
    StudyReader(SourceMap& map, std::vector<Finding>& findings, const TreeNode::Table& root)
        : map_(map), reader_(map, findings, provenance_, written_), root_(root) {}

    StudyFile read(const Spot& top) {
        StudyFile out;
        out.study = kind(top);
        if (out.study.empty()) return out;
        reader_.refuse_unknown(root_, "", fmt::format("a study to {}", out.study),
                               keys_of(out.study));
        out.title = text_at(root_, "", "title").text;
        out.scenarios = words(root_, "", "scenarios");
        if (out.scenarios.empty() && find_entry(root_, "scenarios") == nullptr) {
            reader_.refuse_missing(top, "scenarios", "Names or files of scenarios",
                                   "a list, for example [\"car_idle_hot\"]");
        }
        out.causes = words(root_, "", "causes");
        out.changes = pairs(root_, "", "set");
        for (const char* name : {"over", "spread", "free"}) {
            for (StudyPair& one : pairs(root_, "", name)) out.keys.push_back(std::move(one));
        }
        out.discs = named("discs", "a disc of a study", {"name", "part", "causes", "set"});
        out.conditions = named("conditions", "a condition of a study", {"name", "causes", "set"});
        out.measures = words(root_, "", "measures");
        out.left_out = words(root_, "", "leave_out");
        out.front = words(root_, "", "front");
        read_values(out);
        return out;
    }

  private:
    std::string kind(const Spot& top) {
        const TreeEntry* entry = find_entry(root_, "study");
        if (entry == nullptr) {
            reader_.refuse_missing(top, "study", "What is to be done",
                                   R"("vary", "scatter", "tune" or "compare")");
            return "";
        }
        return reader_.values()
            .text(entry->node, "study", one_of({"vary", "scatter", "tune", "compare"}))
            .value_or("");
    }

    StudyWord word_of(const TreeNode& node, const std::string& path) {
        return {as_written(node), map_.place(node.spot), path};
    }

    StudyWord text_at(const TreeNode::Table& table, const std::string& path, const char* key) {
        const TreeEntry* entry = find_entry(table, key);
        if (entry == nullptr) return {};
        const std::string here = join_path(path, key);
        const auto text = reader_.values().text(entry->node, here, any());
        return text ? StudyWord{*text, map_.place(entry->node.spot), here} : StudyWord{};
    }

    std::vector<StudyWord> words(const TreeNode::Table& table, const std::string& path,
                                 const char* key) {
        std::vector<StudyWord> out;
        const TreeEntry* entry = find_entry(table, key);
        if (entry == nullptr) return out;
        const std::string here = join_path(path, key);
        const TreeNode::Array* array = entry->node.array();
        if (array == nullptr) {
            reader_.values().refuse(entry->node.spot, here, in_words(entry->node),
                                    "a list of texts",
                                    fmt::format("Write {} = [\"…\", \"…\"].", key));
            return out;
        }
        for (std::size_t i = 0; i < array->size(); ++i) {
            const std::string one = fmt::format("{}[{}]", here, i);
            if (reader_.values().text((*array)[i], one, any()))
                out.push_back(word_of((*array)[i], one));
        }
        return out;
    }

    std::vector<StudyPair> pairs(const TreeNode::Table& table, const std::string& path,
                                 const char* key) {
        std::vector<StudyPair> out;
        const TreeEntry* entry = find_entry(table, key);
        if (entry == nullptr) return out;
        const std::string here = join_path(path, key);
        if (reader_.table_of(entry->node, here, "a table of keys and values") == nullptr)
            return out;
        for (const Change& one : changes_in(entry->node)) {
            out.push_back({one.key, word_of(one.node, join_path(here, one.key))});
        }
        return out;
    }

    std::vector<StudyNamed> named(const char* key, const char* noun, const Names& known) {
        std::vector<StudyNamed> out;
        const TreeEntry* entry = find_entry(root_, key);
        if (entry == nullptr) return out;
        const TreeNode::Array* array = entry->node.array();
        if (array == nullptr) {
            reader_.values().refuse(entry->node.spot, key, in_words(entry->node),
                                    "a list of tables",
                                    fmt::format("Begin each with [[{}]].", key));
            return out;
        }
        for (std::size_t i = 0; i < array->size(); ++i) {
            const std::string here = fmt::format("{}[{}]", key, i);
            const TreeNode& node = (*array)[i];
            const TreeNode::Table* table = reader_.table_of(node, here, noun);
            if (table == nullptr) continue;
            reader_.refuse_unknown(*table, here, noun, known);
            StudyNamed one;
            one.name = text_at(*table, here, "name");
            one.part = text_at(*table, here, "part");
            if (find_entry(*table, "name") == nullptr && one.part.text.empty()) {
                reader_.refuse_missing(node.spot, join_path(here, "name"), "Name for people",
                                       "a text in quotation marks");
            }
            one.causes = words(*table, here, "causes");
            one.changes = pairs(*table, here, "set");
            out.push_back(std::move(one));
        }
        return out;
    }

    void take(StudyFile& out, const TreeNode::Table& table, const std::string& path,
              const std::string& key, const auto& fits) {
        const TreeEntry* entry = find_entry(table, key);
        if (entry == nullptr) return;
        const std::string here = join_path(path, key);
        if (fits(entry->node, here)) out.values[key] = word_of(entry->node, here);
    }

    void read_values(StudyFile& out) {
        ValueReader& values = reader_.values();
        const auto whole = [&](std::string_view low, std::string_view high) {
            return [&values, range = within(low, high)](const TreeNode& node,
                                                        const std::string& path) {
                return values.integer(node, path, range).has_value();
            };
        };
        const auto word = [&](std::vector<std::string_view> allowed) {
            return [&values, range = one_of(std::move(allowed))](const TreeNode& node,
                                                                 const std::string& path) {
                return values.text(node, path, range).has_value();
            };
        };
        const auto quantity = [&](const Dimension& due, std::string_view low,
                                  std::string_view high) {
            return [&values, due, range = within(low, high)](const TreeNode& node,
                                                             const std::string& path) {
                return values.quantity(node, path, due, range).has_value();
            };
        };
        take(out, root_, "", "count", whole("1", "20000000"));
        take(out, root_, "", "evaluations", whole("1", "1000000"));
        take(out, root_, "", "seed", whole("0", "1000000000"));
        take(out, root_, "", "design", word({"grid", "sobol", "screening", "indices"}));
        take(out, root_, "", "method", word({"subplex", "nelder-mead", "cobyla", "bobyqa"}));
        const TreeEntry* packaging = find_entry(root_, "packaging");
        if (packaging == nullptr) return;
        const TreeNode::Table* table =
            reader_.table_of(packaging->node, "packaging", "the packaging limits");
        if (table == nullptr) return;
        reader_.refuse_unknown(
            *table, "packaging", "the packaging limits",
            {"drive_twist", "coast_twist", "stop_torque", "coast_stop_torque", "spring_work"});
        for (const char* key : {"drive_twist", "coast_twist"}) {
            take(out, *table, "packaging", key, quantity(Angle::dimension, "0.06 deg", "90 deg"));
        }
        for (const char* key : {"stop_torque", "coast_stop_torque", "spring_work"}) {
            take(out, *table, "packaging", key, quantity(Dimension{}, "0", "100"));
        }
    }

    SourceMap& map_;
    std::map<std::string, std::string> provenance_, written_;
    PartReader reader_;
    const TreeNode::Table& root_;
};

}  // namespace

const PartSchema& study_schema() {
    static const PartSchema schema{"a study",
                                   "",
                                   {{"study", Kind::text, nullptr},
                                    {"scenarios", Kind::text, nullptr},
                                    {"causes", Kind::text, nullptr},
                                    {"set", Kind::text, nullptr},
                                    {"over", Kind::text, nullptr},
                                    {"spread", Kind::text, nullptr},
                                    {"free", Kind::text, nullptr},
                                    {"count", Kind::text, nullptr},
                                    {"seed", Kind::text, nullptr},
                                    {"measures", Kind::text, nullptr},
                                    {"discs", Kind::text, nullptr},
                                    {"packaging", Kind::text, nullptr},
                                    {"evaluations", Kind::text, nullptr}},
                                   nullptr};
    return schema;
}

StudyFile read_study(const std::filesystem::path& file) {
    SourceMap map;
    std::vector<Finding> findings;
    PartFiles files({}, map, findings);
    const PartSchema schema{"a study", "", {}, nullptr};
    const TreeNode root = files.read_first(file, schema);
    if (root.broken()) throw InputError(std::move(findings));
    StudyFile out;
    if (const TreeNode::Table* table = root.table()) {
        out = StudyReader(map, findings, *table).read(root.spot);
    }
    if (!findings.empty()) throw InputError(std::move(findings));
    return out;
}

}  // namespace damper
