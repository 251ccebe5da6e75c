// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace damper {

/// A ModelTable without lists inside lists: each row names the row it belongs to by number.
/// Rows that belong together stand together and in order.
struct FlatModel {
    struct Element {
        std::string name, kind;
        double damping = 0.0;
    };
    struct Coefficient {
        std::int32_t element = 0, inertia = 0;
        double coefficient = 0.0;
    };
    struct Part {
        std::int32_t element = 0;
        std::string name, kind;
        std::int32_t cell = 0;
    };
    struct Mode {
        std::int32_t part = 0;
        std::string label;
        double spring = 0.0, rest = 0.0, memory_weight = 0.0, energy_offset = 0.0;
        double lost = 0.0, lost_rate = 0.0;
    };
    struct Guard {
        std::int32_t mode = 0;
        double offset = 0.0, twist = 0.0, rate = 0.0, memory = 0.0;
        std::int32_t next = 0;
        bool resets = false;
        double reset_offset = 0.0, reset_twist = 0.0, reset_memory = 0.0;
    };
    struct Input {
        std::string name, kind;
        std::int32_t inertia = 0;
    };
    /// A named number of an element's smooth law or of an input.
    struct Parameter {
        std::int32_t owner = 0;
        std::string name;
        double value = 0.0;
    };
    /// A named list of numbers of an input: `count` of the values, after those of earlier tables.
    struct Table {
        std::int32_t owner = 0;
        std::string name;
        std::int64_t count = 0;
    };

    std::vector<ModelTable::Inertia> inertias;
    std::vector<Element> elements;
    std::vector<Coefficient> rows;
    std::vector<Part> parts;
    std::vector<Mode> modes;
    std::vector<Guard> guards;
    std::vector<Parameter> smooth;
    std::vector<Input> inputs;
    std::vector<Parameter> input_parameters;
    std::vector<Table> input_tables;
    std::vector<double> input_values;
    std::vector<std::pair<std::string, double>> gear_path;
};

[[nodiscard]] FlatModel flatten(const ModelTable& model);

/// Throws ModelError if a row names an owner that is not there.
[[nodiscard]] ModelTable unflatten(const FlatModel& flat);

}  // namespace damper
