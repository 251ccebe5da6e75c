// SPDX-License-Identifier: MIT
#include "libdamper/results/write_verdict.hpp"

#include "libdamper/results/layout.hpp"
#include "libdamper/results/table_io.hpp"
#include "libdamper/results/words.hpp"

#include <algorithm>

namespace damper {

void write_measures(GroupOut& root, const std::vector<MeasureValue>& measures,
                    const Verdict& verdict) {
    GroupOut group = root.make_group("measures");
    const std::vector<Judgement>& judged = verdict.judgements;
    for (const MeasureValue& measure : measures) {
        // No long_name: the definition says more. `units` is there even if empty, to read back.
        const H5Dataset made = group.write_scalar(measure.name, measure.value, {});
        write_attribute(made.id(), "units", measure.units);
        write_attribute(made.id(), "definition", measure.definition);
        write_attribute(made.id(), "better", to_word(measure.better));
        if (measure.certainty) {
            write_attribute(made.id(), "half_width", measure.certainty->half_width);
            write_attribute(made.id(), "confidence", measure.certainty->confidence);
            write_attribute(made.id(), "batches", measure.certainty->batches);
            write_attribute(made.id(), "cycles_per_batch", measure.certainty->cycles_per_batch);
        }
        const auto judgement = std::find_if(judged.begin(), judged.end(), [&](const Judgement& j) {
            return j.measure == measure.name;
        });
        if (judgement == judged.end()) continue;
        write_attribute(made.id(), "limit_good", judgement->good);
        write_attribute(made.id(), "limit_bad", judgement->bad);
        write_attribute(made.id(), "verdict", to_word(judgement->grade));
    }
}

void write_verdict(GroupOut& root, const Verdict& verdict) {
    GroupOut group = root.make_group("verdict");
    write_attribute(group.id(), "grade", to_word(verdict.grade));
    write_attribute(group.id(), "headline", verdict.headline);
    write_texts(group, "reasons", "reason", verdict.reasons, "why, most telling first");
    write_table(group, "judgements", verdict.judgements, layout::judgements);
    write_texts(group, "cautions", "caution", verdict.cautions, "for those who act on it");
}

}  // namespace damper
