// SPDX-License-Identifier: MIT
#include "libdamper/describe/read_bands.hpp"

#include "libdamper/base/nearest_word.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/quantity/read_unit_text.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <optional>
#include <variant>

namespace damper {

namespace {

using Measures = std::vector<std::pair<std::string, std::string>>;

std::optional<AnyQuantity> read_bound(const TreeNode& node, const std::string& path,
                                      ValueReader& values) {
    if (node.text() == nullptr) {
        const auto number = values.quantity(node, path, {}, any());
        if (!number) return std::nullopt;
        return AnyQuantity{*number, {}};
    }
    const auto read = read_any_quantity(*node.text());
    if (const auto* fault = std::get_if<QuantityFault>(&read)) {
        values.refuse(node.spot, path, fault->found, fault->expected, fault->mend);
        return std::nullopt;
    }
    return std::get<AnyQuantity>(read);
}

void read_within(const TreeNode& node, const std::string& path, Band& band, PartReader& reader) {
    ValueReader& values = reader.values();
    const TreeNode::Array* array = node.array();
    if (array == nullptr || array->size() != 2) {
        return values.refuse(node.spot, path, in_words(node),
                             "two bounds, for example [\"0 rpm\", \"60 rpm\"]");
    }
    const auto low = read_bound((*array)[0], path + "[0]", values);
    const auto high = read_bound((*array)[1], path + "[1]", values);
    if (!low || !high) return;
    if (low->dimension != high->dimension) {
        return values.refuse(
            node.spot, path,
            fmt::format("{} and {}", spoken(low->dimension), spoken(high->dimension)),
            "two bounds of one kind");
    }
    if (low->si > high->si) {
        return values.refuse(node.spot, path,
                             fmt::format("{} to {}", in_words((*array)[0]), in_words((*array)[1])),
                             "the lower bound first", "Swap the two bounds.");
    }
    band.low = low->si;
    band.high = high->si;
    band.dimension = low->dimension;
}

void check_measure(const Band& band, const Spot& spot, const std::string& path,
                   const Measures& measures, PartReader& reader) {
    if (measures.empty()) return;
    std::vector<std::string> names;
    for (const auto& [name, units] : measures) {
        names.push_back(name);
        if (name != band.measure) continue;
        const auto unit = read_unit(units);
        const auto* known = std::get_if<ReadUnit>(&unit);
        if (known != nullptr && known->dimension != band.dimension) {
            reader.values().refuse(spot, path + ".within", spoken(band.dimension),
                                   fmt::format("{}: {} is given in {}", spoken(known->dimension),
                                               band.measure, units));
        }
        return;
    }
    const std::string near = nearest_word(band.measure, names);
    reader.values().refuse(spot, path, fmt::format("the unknown measure {}", quote(band.measure)),
                           "a measure that is taken",
                           near.empty() ? fmt::format("There are: {}.", fmt::join(names, ", "))
                                        : fmt::format("Did you mean \"{}\"?", near));
}

}  // namespace

std::vector<Band> read_bands(const TreeNode& node, const Measures& measures, PartReader& reader) {
    std::vector<Band> bands;
    const TreeNode::Table* table = reader.table_of(node, "expect", "the expectations");
    if (table == nullptr) return bands;
    for (const TreeEntry& entry : *table) {
        const std::string path = join_path("expect", entry.key);
        const TreeNode::Table* inner = reader.table_of(entry.node, path, "an expected band");
        if (inner == nullptr) continue;
        Band band;
        band.measure = entry.key;
        reader.refuse_unknown(*inner, path, "an expected band", {"within", "source"});
        const TreeEntry* within = find_entry(*inner, "within");
        const TreeEntry* source = find_entry(*inner, "source");
        if (within == nullptr) {
            reader.refuse_missing(entry.spot, path + ".within", "The bounds",
                                  "two bounds, for example [\"0 rpm\", \"60 rpm\"]");
        } else {
            reader.note(path + ".within", within->node);
            read_within(within->node, path + ".within", band, reader);
        }
        if (source == nullptr) {
            reader.refuse_missing(entry.spot, path + ".source", "Who says so",
                                  "a text, for example \"common practice, no source\"");
        } else {
            reader.note(path + ".source", source->node);
            const auto text = reader.values().text(source->node, path + ".source", any());
            if (text) band.source = *text;
        }
        check_measure(band, entry.spot, path, measures, reader);
        bands.push_back(std::move(band));
    }
    return bands;
}

}  // namespace damper
