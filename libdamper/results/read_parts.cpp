// SPDX-License-Identifier: MIT
#include "libdamper/results/read_parts.hpp"

#include "libdamper/results/layout.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace damper {

RunIdentity read_identity(const GroupIn& root) {
    RunIdentity identity;
    const auto text = [&](const char* name) { return read_text(root.id(), name); };
    identity.program_version = text("program_version");
    identity.command_line = text("command_line");
    identity.scenario = text("scenario");
    identity.title = text("title");
    identity.origin = text("origin");
    identity.vehicle = text("vehicle");
    identity.vehicle_class = text("vehicle_class");
    identity.disc = text("disc");
    identity.manoeuvre = text("manoeuvre");
    const GroupIn provenance = root.open_group("provenance");
    identity.created = read_text(provenance.id(), "created");
    identity.host = read_text(provenance.id(), "host");
    identity.inputs = read_table<layout::TextPair>(root, "inputs", layout::inputs);
    identity.conditions = read_table<layout::TextPair>(root, "conditions", layout::conditions);
    identity.changes = read_table<layout::TextPair>(root, "changes", layout::changes);
    const std::vector<std::string> names = root.names();
    if (std::ranges::find(names, "causes") != names.end()) {
        identity.causes = read_table<layout::TextPair>(root, "causes", layout::causes);
    }
    return identity;
}

std::vector<MeasureValue> read_measures(const GroupIn& root) {
    const GroupIn group = root.open_group("measures");
    std::vector<MeasureValue> measures;
    for (const std::string& name : group.names()) {
        const H5Dataset dataset = group.open_dataset(name);
        MeasureValue& measure = measures.emplace_back();
        measure.name = name;
        measure.value = group.read_scalar(name);
        measure.units = read_text(dataset.id(), "units");
        measure.definition = read_text(dataset.id(), "definition");
        if (H5Aexists(dataset.id(), "half_width") > 0) {
            measure.certainty =
                Certainty{.half_width = read_number(dataset.id(), "half_width"),
                          .confidence = read_number(dataset.id(), "confidence"),
                          .batches = read_integer(dataset.id(), "batches"),
                          .cycles_per_batch = read_integer(dataset.id(), "cycles_per_batch")};
        }
        measure.better = from_word<Better>(read_text(dataset.id(), "better"));
    }
    return measures;
}

Verdict read_verdict(const GroupIn& root) {
    const GroupIn group = root.open_group("verdict");
    Verdict verdict;
    verdict.grade = from_word<Grade>(read_text(group.id(), "grade"));
    verdict.headline = read_text(group.id(), "headline");
    verdict.reasons = read_texts(group, "reasons", "reason");
    verdict.judgements = read_table<Judgement>(group, "judgements", layout::judgements);
    verdict.cautions = read_texts(group, "cautions", "caution");
    return verdict;
}

DiscLoop read_loop_curves(const GroupIn& group, const char* upward, const char* downward) {
    DiscLoop loop;
    group.read_column("twist", loop.twist);
    loop.upward = read_rows_of<double>(group, upward, loop.twist.size());
    loop.downward = read_rows_of<double>(group, downward, loop.twist.size());
    return loop;
}

std::string read_text_if_there(hid_t object, const char* name) {
    return H5Aexists(object, name) > 0 ? read_text(object, name) : std::string();
}

int count_of(double value, const std::string& what) {
    expect(value >= 0.0 && value <= std::numeric_limits<int>::max() && std::floor(value) == value,
           what + ": is no count");
    return static_cast<int>(value);
}

int read_count(const GroupIn& group, const char* attribute) {
    return count_of(static_cast<double>(read_integer(group.id(), attribute)), attribute);
}

void expect(bool holds, const std::string& sentence) {
    if (!holds) throw H5Failure(sentence);
}

}  // namespace damper
