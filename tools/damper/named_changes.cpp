// SPDX-License-Identifier: MIT
#include "tools/damper/named_changes.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/read_cause.hpp"

#include "tools/damper/built_in.hpp"
#include "tools/damper/locate.hpp"

#include <algorithm>
#include <cctype>
#include <fmt/format.h>
#include <set>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

std::string trimmed(const std::string& text) {
    const auto first = text.find_first_not_of(" \t");
    if (first == std::string::npos) return "";
    return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

/// Whether a key and an equals sign stand here: a comma before it ends the value before.
bool begins_a_change(const std::string& text, std::size_t at) {
    at = text.find_first_not_of(" \t", at);
    if (at == std::string::npos || std::isalpha(static_cast<unsigned char>(text[at])) == 0) {
        return false;
    }
    const std::size_t end = text.find_first_not_of(
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_.[]*-", at);
    if (end == std::string::npos) return false;
    const std::size_t equals = text.find_first_not_of(" \t", end);
    return equals != std::string::npos && text[equals] == '=';
}

}  // namespace

void NamedChanges::add(const Cause& cause) {
    for (const auto& change : cause.changes) {
        if (goes_with_disc(cause, change.first)) of_fitted.push_back({changes.size(), cause.name});
        changes.push_back(change);
    }
}

Cause cause_named(const std::string& option, const std::string& name, const fs::path& models) {
    const fs::path file = locate(name, "causes", models);
    if (!fs::exists(file)) {
        throw InputError(fmt::format("{}: there is no cause {}{}", option, name,
                                     did_you_mean(name, names_in(folder_of("causes", models)))));
    }
    return read_cause(file);
}

NamedChanges named_changes(const std::string& option, const std::string& text,
                           const fs::path& models) {
    const auto refuse = [&](const std::string& why) {
        throw InputError(
            fmt::format("{} '{}': {}; expected 'NAME: KEY=VALUE, KEY=VALUE', for example '{}'",
                        option, text, why,
                        option == "--condition" ? "cold: conditions.gearbox_oil=20 degC"
                                                : "softer: disc.stages[0].stiffness=times 0.8"));
    };
    const std::size_t colon = text.find(':');
    if (colon == std::string::npos || colon > text.find('='))
        refuse("a name and a colon are missing");
    NamedChanges out{trimmed(text.substr(0, colon)), {}, {}};
    if (out.name.empty()) refuse("the name is missing");
    std::size_t begin = colon + 1;
    while (begin < text.size()) {
        std::size_t end = begin;
        do {
            end = std::min(text.find(',', end + 1), text.size());
        } while (end < text.size() && !begins_a_change(text, end + 1));
        const std::string part = trimmed(text.substr(begin, end - begin));
        begin = end + 1;
        if (part.empty()) continue;
        const std::size_t equals = part.find('=');
        if (equals == std::string::npos || equals == 0)
            refuse(fmt::format("\"{}\" is no KEY=VALUE", part));
        const std::string key = trimmed(part.substr(0, equals));
        const std::string value = trimmed(part.substr(equals + 1));
        if (key == "cause") {
            out.add(cause_named(option, value, models));
        } else {
            out.changes.emplace_back(key, value);
        }
    }
    return out;
}

std::vector<CompareCondition> conditions_of(const Words& texts, const fs::path& models) {
    std::vector<CompareCondition> out;
    std::set<std::string> names;
    for (const std::string& text : texts) {
        NamedChanges one = named_changes("--condition", text, models);
        if (!names.insert(one.name).second) {
            throw InputError(fmt::format("two conditions have the name {}", one.name));
        }
        out.push_back({std::move(one.name), std::move(one.changes), std::move(one.of_fitted)});
    }
    if (out.empty()) out.emplace_back();
    return out;
}

}  // namespace damper::command
