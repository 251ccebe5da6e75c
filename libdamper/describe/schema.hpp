// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/tree.hpp"
#include "libdamper/parts/field.hpp"
#include "libdamper/parts/vehicle.hpp"
#include "libdamper/quantity/quantity.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

namespace damper {

struct PartSchema;

/// One key as far as the shape of a description goes.
struct SchemaKey {
    enum class Kind { text, number, numbers, part, parts };
    std::string_view key;
    Kind kind = Kind::text;
    const PartSchema* child = nullptr;  ///< Of `part` and `parts`.
    bool optional = false;              ///< A part that may be left out.
};

/// The shape of a part: which keys it has and where its files lie. Made from its field table.
struct PartSchema {
    std::string_view noun;
    std::string_view folder;  ///< Empty: always given in place.
    std::vector<SchemaKey> keys;
    const PartSchema* any_key = nullptr;  ///< Set: every key is allowed and leads here.

    [[nodiscard]] const SchemaKey* find(std::string_view key) const;
    [[nodiscard]] std::vector<std::string> key_names() const;
};

template <class T>
inline constexpr bool is_quantity = false;
template <Dimension D>
inline constexpr bool is_quantity<Quantity<D>> = true;
template <class T>
inline constexpr bool is_list = false;
template <class T>
inline constexpr bool is_list<std::vector<T>> = true;
/// A part that may be left out.
template <class T>
inline constexpr bool is_optional = false;
template <class T>
inline constexpr bool is_optional<std::optional<T>> = true;
template <class T>
inline constexpr bool is_number = is_quantity<T> || std::is_same_v<T, int>;
template <class T>
inline constexpr bool is_text = std::is_same_v<T, std::string>;

template <class Part>
const PartSchema& schema_of();

template <class Value>
SchemaKey schema_key(std::string_view key) {
    if constexpr (is_text<Value>) {
        return {key, SchemaKey::Kind::text, nullptr};
    } else if constexpr (is_number<Value>) {
        return {key, SchemaKey::Kind::number, nullptr};
    } else if constexpr (is_list<Value>) {
        using Entry = typename Value::value_type;
        if constexpr (is_number<Entry>) {
            return {key, SchemaKey::Kind::numbers, nullptr};
        } else {
            return {key, SchemaKey::Kind::parts, &schema_of<Entry>()};
        }
    } else if constexpr (is_optional<Value>) {
        SchemaKey inner = schema_key<typename Value::value_type>(key);
        inner.optional = true;
        return inner;
    } else {
        return {key, SchemaKey::Kind::part, &schema_of<Value>()};
    }
}

/// The shape that a field table says.
template <class Part>
const PartSchema& schema_of() {
    static const PartSchema schema = [] {
        PartSchema made{PartTable<Part>::noun, PartTable<Part>::folder, {}, nullptr};
        for_each_field<Part>([&]<class Value>(const Field<Part, Value>& one) {
            made.keys.push_back(schema_key<Value>(one.key));
        });
        return made;
    }();
    return schema;
}

/// Path of a key inside a part. A scenario's vehicle has the empty path, so that keys read
/// "disc.damping"; its title and origin are told from the scenario's own.
template <class Part>
[[nodiscard]] std::string key_path(std::string_view path, std::string_view key) {
    const bool shared = key == "title" || key == "origin";
    if (std::is_same_v<Part, Vehicle> && path.empty() && shared) return join_path("vehicle", key);
    return join_path(path, key);
}

/// The shape of a scenario file, manoeuvres of all kinds together.
[[nodiscard]] const PartSchema& scenario_schema();

/// Where part paths such as "disc" begin: a schema with the one key `name` that leads to a part.
[[nodiscard]] PartSchema holder_of(std::string_view name, const PartSchema& part);

}  // namespace damper
