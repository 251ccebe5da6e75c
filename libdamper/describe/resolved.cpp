// SPDX-License-Identifier: MIT
#include "libdamper/describe/resolved.hpp"

#include "libdamper/describe/schema.hpp"
#include "libdamper/describe/tree.hpp"
#include "libdamper/quantity/write_quantity.hpp"
#include "libdamper/scenario/check.hpp"
#include "libdamper/scenario/scenario_fields.hpp"

#include <fmt/format.h>
#include <string_view>
#include <variant>

namespace damper {

namespace {

template <class Value>
std::string shown(const Value& value) {
    if constexpr (is_quantity<Value>) {
        return write_quantity(value);
    } else if constexpr (std::is_same_v<Value, int>) {
        return fmt::format("{}", value);
    } else {
        return value;
    }
}

class Lister {
  public:
    Lister(const std::map<std::string, std::string>& provenance,
           const std::map<std::string, std::string>& written)
        : provenance_(provenance), written_(written) {}

    void add(const std::string& key, std::string value, std::string_view meaning) {
        const auto found = provenance_.find(key);
        if (found == provenance_.end() && !provenance_.empty()) return;
        values_.push_back({key, std::move(value), found == provenance_.end() ? "" : found->second,
                           std::string(meaning)});
    }

    template <class Part>
    void list(const Part& part, const std::string& path) {
        for_each_field<Part>([&]<class Owner, class Value>(const Field<Owner, Value>& one) {
            const std::string here = key_path<Part>(path, one.key);
            const Value& value = part.*one.member;
            if constexpr (is_text<Value> || is_number<Value>) {
                const auto text = written_.find(here);
                add(here, text != written_.end() ? text->second : shown(value), one.meaning);
            } else if constexpr (is_list<Value>) {
                list_entries(value, here, one.meaning);
            } else if constexpr (is_optional<Value>) {
                if (value) list(*value, here);
            } else {
                list(value, here);
            }
        });
    }

    [[nodiscard]] std::vector<ResolvedValue> take() { return std::move(values_); }

  private:
    template <class Entry>
    void list_entries(const std::vector<Entry>& entries, const std::string& path,
                      std::string_view meaning) {
        if constexpr (is_number<Entry>) {
            std::vector<std::string> texts;
            texts.reserve(entries.size());
            for (const Entry& entry : entries) texts.push_back(shown(entry));
            add(path, fmt::format("{}", fmt::join(texts, ", ")), meaning);
        } else {
            for (std::size_t i = 0; i < entries.size(); ++i) {
                list(entries[i], fmt::format("{}[{}]", path, i));
            }
        }
    }

    const std::map<std::string, std::string>& provenance_;
    const std::map<std::string, std::string>& written_;
    std::vector<ResolvedValue> values_;
};

}  // namespace

std::vector<ResolvedValue> resolved_values(const Scenario& scenario) {
    Lister lister(scenario.provenance, scenario.written);
    lister.add("title", scenario.title, "Name for people");
    lister.add("origin", scenario.origin, "Where the numbers come from");
    lister.list(scenario.vehicle, "");
    lister.add("manoeuvre.kind", kind_of(scenario.manoeuvre), "What is done with the vehicle");
    if (const TorqueChange* change = torque_change_of(scenario.manoeuvre)) {
        lister.list(*change, "manoeuvre");
    } else if (const SpeedRun* run = speed_run_of(scenario.manoeuvre)) {
        lister.list(*run, "manoeuvre");
    } else {
        std::visit(
            [&](const auto& own) {
                if constexpr (requires { PartTable<std::decay_t<decltype(own)>>::fields(); }) {
                    lister.list(own, "manoeuvre");
                }
            },
            scenario.manoeuvre);
    }
    lister.list(scenario.conditions, "conditions");
    lister.list(scenario.recording, "recording");
    for (const Band& band : scenario.bands) {
        lister.add(fmt::format("expect.{}.within", band.measure),
                   fmt::format("{} to {}", write_quantity(band.low, band.dimension),
                               write_quantity(band.high, band.dimension)),
                   "Expected interval; source: " + band.source);
    }
    return lister.take();
}

std::vector<ResolvedValue> resolved_values(const Vehicle& vehicle,
                                           const std::map<std::string, std::string>& provenance,
                                           const std::map<std::string, std::string>& written) {
    Lister lister(provenance, written);
    lister.list(vehicle, "");
    return lister.take();
}

}  // namespace damper
