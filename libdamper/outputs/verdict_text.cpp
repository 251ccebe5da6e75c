// SPDX-License-Identifier: MIT
#include "libdamper/outputs/verdict_text.hpp"

#include "libdamper/outputs/grade_text.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/text_layout.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace damper {

std::string list_text(std::string_view heading, const std::vector<std::string>& sentences) {
    if (sentences.empty()) return "";
    std::string out = fmt::format("\n{}\n", heading);
    for (const auto& sentence : sentences) out += wrapped(sentence, text_width, "  - ");
    return out;
}

std::string headline_text(const Verdict& verdict) {
    return wrapped(verdict.headline, text_width,
                   fmt::format("{} {}: ", grade_shape(verdict.grade), grade_word(verdict.grade)));
}

std::string NumberedSources::point_at(const std::string& source) {
    const auto found = std::find(sources_.begin(), sources_.end(), source);
    const auto index = found - sources_.begin();
    if (found == sources_.end()) sources_.push_back(source);
    return fmt::format("[{}]", index + 1);
}

std::string NumberedSources::list() const {
    std::string out;
    for (std::size_t i = 0; i < sources_.size(); ++i) {
        out += wrapped(sources_[i], text_width, fmt::format("  [{}] ", i + 1));
    }
    return out;
}

std::string judgements_text(const Verdict& verdict) {
    if (verdict.judgements.empty()) {
        return "\nNo limit applies to this run; nothing was judged.\n";
    }
    NumberedSources sources;
    std::vector<std::vector<std::string>> rows;
    for (const auto& judgement : verdict.judgements) {
        const Shown shown =
            measure_shown_as(judgement.measure, judgement.units, magnitude(judgement));
        const auto number = [&](double value) {
            return table_number(shown.of(value), shown.of(judgement.good));
        };
        rows.push_back(
            {fmt::format("{} {}", grade_shape(judgement.grade), grade_word(judgement.grade)),
             key_text(judgement.measure), number(judgement.value), number(judgement.good),
             number(judgement.bad), table_units(shown), margin_text(judgement.margin),
             sources.point_at(judgement.source)});
    }
    std::string out = "\nLimits, smallest margin first\n";
    out += text_table({{"Grade", false, 7},
                       {"Judged", false, 30},
                       {"Value", true, 8},
                       {"Good to", true, 7},
                       {"Bad from", true, 8},
                       {"Unit", false, 8},
                       {"Margin", true, 13},
                       {"Src", false, 3}},
                      rows);
    return out + sources.list();
}

}  // namespace damper
