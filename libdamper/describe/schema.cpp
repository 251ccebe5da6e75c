// SPDX-License-Identifier: MIT
#include "libdamper/describe/schema.hpp"

#include "libdamper/scenario/scenario_fields.hpp"

#include <algorithm>

namespace damper {

namespace {

using Kind = SchemaKey::Kind;

PartSchema all_manoeuvres() {
    PartSchema made{"a manoeuvre", "", {{"kind", Kind::text, nullptr}}, nullptr};
    for (const PartSchema* one :
         {&schema_of<Idle>(), &schema_of<TorqueChange>(), &schema_of<SpeedRun>(),
          &schema_of<Creep>(), &schema_of<EngineStart>(), &schema_of<EngineStop>(),
          &schema_of<RecordedSpeed>(), &schema_of<TakeUp>()}) {
        for (const SchemaKey& key : one->keys) {
            if (made.find(key.key) == nullptr) made.keys.push_back(key);
        }
    }
    return made;
}

const PartSchema& band_schema() {
    static const PartSchema schema{
        "an expected band",
        "",
        {{"within", Kind::numbers, nullptr}, {"source", Kind::text, nullptr}},
        nullptr};
    return schema;
}

}  // namespace

const SchemaKey* PartSchema::find(std::string_view key) const {
    const auto found =
        std::ranges::find_if(keys, [&](const SchemaKey& one) { return one.key == key; });
    return found == keys.end() ? nullptr : &*found;
}

std::vector<std::string> PartSchema::key_names() const {
    std::vector<std::string> names;
    for (const SchemaKey& key : keys) names.emplace_back(key.key);
    return names;
}

const PartSchema& scenario_schema() {
    static const PartSchema manoeuvre = all_manoeuvres();
    static const PartSchema expect{"the expectations", "", {}, &band_schema()};
    static const PartSchema schema{"a scenario",
                                   "",
                                   {{"title", Kind::text, nullptr},
                                    {"origin", Kind::text, nullptr},
                                    {"vehicle", Kind::part, &schema_of<Vehicle>()},
                                    {"manoeuvre", Kind::part, &manoeuvre},
                                    {"conditions", Kind::part, &schema_of<Conditions>()},
                                    {"recording", Kind::part, &schema_of<Recording>()},
                                    {"expect", Kind::part, &expect}},
                                   nullptr};
    return schema;
}

PartSchema holder_of(std::string_view name, const PartSchema& part) {
    return {"the description", "", {{name, Kind::part, &part}}, nullptr};
}

}  // namespace damper
