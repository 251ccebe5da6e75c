// SPDX-License-Identifier: MIT
#include "libdamper/studies/free_values.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace damper {

namespace {

FreeValue free_value(const std::string& text, const std::string& option) {
    FreeValue out;
    out.variable = read_range(text, option);
    out.name = out.variable.key.key;
    const std::string& asked = out.variable.key.asked;
    if (!out.variable.key.choices.empty() || asked.find(':') != std::string::npos) {
        throw InputError(fmt::format(
            "{} '{}': found {}; expected a range without levels, LOW..HIGH or times LOW..HIGH",
            option, text, out.variable.key.choices.empty() ? "levels of a grid" : "choices"));
    }
    const double low = value_at(out.variable, 0.0), high = value_at(out.variable, 1.0);
    out.logarithmic = out.variable.key.multiplies && low > 0.0 && high > 2.0 * low;
    return out;
}

std::string in_list(const FreeValue& value, double number) {
    const std::string text = text_of(value.variable, number);
    return value.variable.dimension == Dimension{} ? text : "\"" + text + "\"";
}

}  // namespace

double FreeValue::at(double share) const {
    const double low = value_at(variable, 0.0), high = value_at(variable, 1.0);
    return logarithmic ? low * std::pow(high / low, share) : std::lerp(low, high, share);
}

double FreeValue::share_of(double value) const {
    const double low = value_at(variable, 0.0), high = value_at(variable, 1.0);
    return logarithmic ? std::log(value / low) / std::log(high / low)
                       : (value - low) / (high - low);
}

FreeValues::FreeValues(const std::vector<std::string>& texts, const std::string& option) {
    for (const std::string& text : texts) {
        const std::size_t equals = text.find('=');
        const std::size_t open =
            equals == std::string::npos ? equals : text.find_first_not_of(" \t", equals + 1);
        if (open != std::string::npos && text[open] == '[') {
            take_list(text.substr(0, equals), text.substr(open), option);
        } else {
            values_.push_back(free_value(text, option));
            keys_.push_back({values_.back().name, {"", ""}, {values_.size() - 1}});
        }
        for (std::size_t i = 0; i + 1 < keys_.size(); ++i) {
            if (keys_[i].key == keys_.back().key) {
                throw InputError(fmt::format("{} '{}': the key {} comes twice; name it once",
                                             option, text, keys_[i].key));
            }
        }
    }
}

void FreeValues::take_list(const std::string& key, const std::string& list,
                           const std::string& option) {
    const std::size_t close = list.rfind(']');
    if (close == std::string::npos ||
        list.find_first_not_of(" \t", close + 1) != std::string::npos) {
        throw InputError(
            fmt::format("{} '{}={}': found no ] at its end; expected a list such as "
                        "[1, 0.3..1, 1, 1]",
                        option, key, list));
    }
    Key out{key.substr(0, key.find_last_not_of(" \t") + 1), {"["}, {}};
    std::size_t entry = 0;
    for (std::size_t at = 1; at <= close; ++entry) {
        const std::size_t end = std::min(list.find(',', at), close);
        const std::string one = list.substr(at, end - at);
        if (entry > 0) out.pieces.back() += ", ";
        if (one.find("..") != std::string::npos) {
            values_.push_back(free_value(fmt::format("{}[{}]={}", out.key, entry, one), option));
            if (values_.back().variable.key.multiplies) {
                throw InputError(fmt::format(
                    "{} '{}={}': found factors in a list; expected values in it, or factors "
                    "outside of one: '{}=times 0.5..1'",
                    option, key, list, values_.back().name));
            }
            out.values.push_back(values_.size() - 1);
            out.pieces.emplace_back();
        } else {
            const std::size_t first = one.find_first_not_of(" \t");
            out.pieces.back() += first == std::string::npos ? "" : one.substr(first);
        }
        at = end + 1;
    }
    out.pieces.back() += "]";
    if (out.values.empty()) {
        throw InputError(
            fmt::format("{} '{}={}': found no range in the list; expected one such "
                        "as [1, 0.3..1, 1, 1]",
                        option, key, list));
    }
    keys_.push_back(std::move(out));
}

std::vector<std::pair<std::string, std::string>> FreeValues::changes(
    const Eigen::VectorXd& shares) const {
    std::vector<std::pair<std::string, std::string>> out;
    for (const Key& key : keys_) {
        std::string text = key.pieces.front();
        for (std::size_t i = 0; i < key.values.size(); ++i) {
            const FreeValue& value = values_[key.values[i]];
            const double number = value.at(shares[static_cast<Eigen::Index>(key.values[i])]);
            text += key.pieces.size() > 2 || !text.empty() ? in_list(value, number)
                                                           : text_of(value.variable, number);
            text += key.pieces[i + 1];
        }
        out.emplace_back(key.key, std::move(text));
    }
    return out;
}

}  // namespace damper
