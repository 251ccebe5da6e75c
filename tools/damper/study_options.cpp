// SPDX-License-Identifier: MIT
#include "tools/damper/study_options.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/read_study.hpp"

#include "tools/damper/any_description.hpp"
#include "tools/damper/locate.hpp"
#include "tools/damper/named_changes.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <set>
#include <system_error>
#include <utility>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

/// The study file meant by a word; empty if it means none.
fs::path study_file(const std::string& word, const fs::path& models) {
    std::error_code ignored;
    const fs::path file = locate(word, "scenarios/studies", models);
    if (!fs::is_regular_file(file, ignored) || kind_of(file) != &study_schema()) return {};
    return file;
}

std::string key_in(const std::string& text) {
    return text.substr(0, text.find('='));
}

bool names(const Words& texts, const std::string& key) {
    return std::ranges::any_of(texts, [&](const auto& text) { return key_in(text) == key; });
}

[[noreturn]] void refuse(const StudyWord& word, std::string found, std::string expected) {
    throw InputError({Finding{word.place, word.path, std::move(found), std::move(expected), ""}});
}

StudyVariable read_at_place(
    const StudyPair& one,
    const std::function<StudyVariable(const std::string&, const std::string&)>& read) {
    try {
        return read(one.key + "=" + one.value.text, one.value.path);
    } catch (const RangeFault& fault) {
        refuse(one.value, fault.found(), fault.expected());
    }
}

NamedChanges changes_of(const StudyNamed& one, const fs::path& models) {
    NamedChanges out{one.name.text, {}, {}};
    for (const StudyWord& cause : one.causes) {
        try {
            out.add(cause_named("causes", cause.text, models));
        } catch (const InputError& wrong) {
            if (!wrong.findings().empty()) throw;
            refuse(cause, fmt::format("\"{}\"", cause.text), wrong.what());
        }
    }
    for (const StudyPair& change : one.changes) {
        out.changes.emplace_back(change.key, change.value.text);
    }
    return out;
}

}  // namespace

StudyOverlay::StudyOverlay(const std::string& verb, Words& scenarios,
                           DescriptionOptions& description) {
    const fs::path models = models_folder(description.models);
    Words others;
    for (const std::string& word : scenarios) {
        const fs::path found = study_file(word, models);
        if (found.empty()) {
            others.push_back(word);
        } else if (present()) {
            throw InputError(fmt::format("{} and {} are both studies; name one of them",
                                         path_.string(), found.string()));
        } else {
            path_ = found;
        }
    }
    if (!present()) return;
    file_ = read_study(path_);
    if (file_.study != verb) {
        throw InputError(
            fmt::format("{0} is a study to {1}; use damper {1} {0}", path_.string(), file_.study));
    }
    if (others.empty()) {
        for (const StudyWord& one : file_.scenarios) others.push_back(beside(one.text));
    }
    scenarios = std::move(others);
    given_ = description.set;
    put_before(description.cause, file_.causes);
    Words set;
    for (const StudyPair& one : file_.changes) set.push_back(one.key + "=" + one.value.text);
    description.set.insert(description.set.begin(), set.begin(), set.end());
}

std::string StudyOverlay::beside(const std::string& word) const {
    std::error_code ignored;
    const fs::path near = path_.parent_path() / word;
    const bool is_path = word.find('/') != std::string::npos || word.ends_with(".toml");
    return is_path && fs::exists(near, ignored) ? near.string() : word;
}

void StudyOverlay::fill(std::string& option, const CLI::App& app, const char* name,
                        const char* key) const {
    const auto found = file_.values.find(key);
    if (found != file_.values.end() && app.count(name) == 0) option = found->second.text;
}

void StudyOverlay::put_before(Words& option, const std::vector<StudyWord>& words) {
    Words before;
    for (const StudyWord& one : words) before.push_back(one.text);
    option.insert(option.begin(), before.begin(), before.end());
}

std::vector<StudyVariable> StudyOverlay::variables(
    const Words& texts, const std::string& option,
    const std::function<StudyVariable(const std::string&, const std::string&)>& read) const {
    std::vector<StudyVariable> out;
    for (const StudyPair& one : file_.keys) {
        if (!names(texts, one.key)) out.push_back(read_at_place(one, read));
    }
    for (const std::string& text : texts) out.push_back(read(text, option));
    return out;
}

Words StudyOverlay::free_keys(const Words& texts) const {
    Words out;
    for (const StudyPair& one : file_.keys) {
        if (names(texts, one.key)) continue;
        if (one.value.text == "usual") {
            out.push_back(one.key);
            continue;
        }
        (void)read_at_place(one, read_range);
        out.push_back(one.key + "=" + one.value.text);
    }
    out.insert(out.end(), texts.begin(), texts.end());
    return out;
}

std::vector<CompareCondition> StudyOverlay::conditions(const Words& texts,
                                                       const fs::path& models) const {
    std::vector<CompareCondition> given = conditions_of(texts, models);
    if (file_.conditions.empty()) return given;
    if (texts.empty()) given.clear();
    std::set<std::string> seen;
    for (const CompareCondition& one : given) seen.insert(one.name);
    std::vector<CompareCondition> out;
    for (const StudyNamed& one : file_.conditions) {
        if (seen.contains(one.name.text)) continue;
        for (const CompareCondition& other : out) {
            if (other.name == one.name.text) refuse(one.name, "the same name twice", "another one");
        }
        NamedChanges changes = changes_of(one, models);
        out.push_back({one.name.text, std::move(changes.changes), std::move(changes.of_fitted)});
    }
    out.insert(out.end(), given.begin(), given.end());
    return out;
}

std::vector<CompareOption> StudyOverlay::discs(const fs::path& models) const {
    std::vector<CompareOption> out;
    for (const StudyNamed& one : file_.discs) {
        CompareOption& option = out.emplace_back();
        option.name =
            one.name.text.empty() ? fs::path(one.part.text).stem().string() : one.name.text;
        option.changes = changes_of(one, models).changes;
        if (one.part.text.empty()) continue;
        std::error_code ignored;
        const fs::path file = locate(beside(one.part.text), "discs", models);
        if (!fs::is_regular_file(file, ignored)) {
            refuse(one.part, fmt::format("\"{}\"", one.part.text),
                   "the name of a built-in disc or a file beside this one");
        }
        const bool built_in = file.parent_path() == models / "discs";
        option.changes.insert(
            option.changes.begin(),
            {"disc", built_in ? file.stem().string() : fs::absolute(file).string()});
    }
    return out;
}

int StudyOverlay::with_places(const std::function<int()>& work) const {
    try {
        return work();
    } catch (const InputError& wrong) {
        std::vector<Finding> findings = wrong.findings();
        bool moved = false;
        for (Finding& one : findings) {
            if (one.place.file != "--set") continue;
            for (const StudyPair& change : file_.changes) {
                if (one.key != change.key || names(given_, change.key)) continue;
                one.place = change.value.place;
                moved = true;
            }
        }
        if (!moved) throw;
        throw InputError(std::move(findings));
    }
}

}  // namespace damper::command
