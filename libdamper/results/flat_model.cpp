// SPDX-License-Identifier: MIT
#include "libdamper/results/flat_model.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>

namespace damper {

namespace {

std::int32_t next_index(std::size_t size) {
    return static_cast<std::int32_t>(size);
}

void flatten_part(const ModelTable::Part& part, std::int32_t element, FlatModel& flat) {
    const std::int32_t part_index = next_index(flat.parts.size());
    flat.parts.push_back({element, part.name, part.kind, part.cell});
    for (const ModelTable::Mode& mode : part.modes) {
        const std::int32_t mode_index = next_index(flat.modes.size());
        flat.modes.push_back({part_index, mode.label, mode.spring, mode.rest, mode.memory_weight,
                              mode.energy_offset, mode.lost, mode.lost_rate});
        for (const ModelTable::Guard& guard : mode.guards) {
            flat.guards.push_back({mode_index, guard.offset, guard.twist, guard.rate, guard.memory,
                                   guard.next, guard.resets, guard.reset_offset, guard.reset_twist,
                                   guard.reset_memory});
        }
    }
}

/// The owner of a flat row. Throws ModelError if it is not there.
template <class Owner>
Owner& owner_of(std::vector<Owner>& owners, std::int32_t index) {
    if (index < 0 || static_cast<std::size_t>(index) >= owners.size()) {
        throw ModelError("a table of the model names a row that is not there");
    }
    return owners[static_cast<std::size_t>(index)];
}

/// Modes and parts are put together from the inside out, because lists move as they grow.
std::vector<ModelTable::Part> nested_parts(const FlatModel& flat) {
    std::vector<ModelTable::Mode> modes;
    for (const FlatModel::Mode& mode : flat.modes) {
        modes.push_back({mode.label,
                         mode.spring,
                         mode.rest,
                         mode.memory_weight,
                         mode.energy_offset,
                         mode.lost,
                         mode.lost_rate,
                         {}});
    }
    for (const FlatModel::Guard& guard : flat.guards) {
        owner_of(modes, guard.mode)
            .guards.push_back({guard.offset, guard.twist, guard.rate, guard.memory, guard.next,
                               guard.resets, guard.reset_offset, guard.reset_twist,
                               guard.reset_memory});
    }
    std::vector<ModelTable::Part> parts;
    for (const FlatModel::Part& part : flat.parts) {
        parts.push_back({part.name, part.kind, part.cell, {}});
    }
    for (std::size_t i = 0; i < modes.size(); ++i) {
        owner_of(parts, flat.modes[i].part).modes.push_back(std::move(modes[i]));
    }
    return parts;
}

void add_inputs(const FlatModel& flat, ModelTable& model) {
    for (const FlatModel::Input& input : flat.inputs) {
        model.inputs.push_back({input.name, input.kind, input.inertia, {}, {}});
    }
    for (const FlatModel::Parameter& parameter : flat.input_parameters) {
        owner_of(model.inputs, parameter.owner)
            .parameters.emplace_back(parameter.name, parameter.value);
    }
    std::size_t first = 0;
    for (const FlatModel::Table& table : flat.input_tables) {
        const auto count = static_cast<std::size_t>(table.count);
        if (table.count < 0 || count > flat.input_values.size() - first) {
            throw ModelError("a table of an input is longer than the values that are there");
        }
        const auto begin = flat.input_values.begin() + static_cast<std::ptrdiff_t>(first);
        owner_of(model.inputs, table.owner)
            .tables.emplace_back(table.name, std::vector<double>(begin, begin + table.count));
        first += count;
    }
}

}  // namespace

FlatModel flatten(const ModelTable& model) {
    FlatModel flat;
    flat.inertias = model.inertias;
    flat.gear_path = model.gear_path;
    for (const ModelTable::Element& element : model.elements) {
        const std::int32_t index = next_index(flat.elements.size());
        flat.elements.push_back({element.name, element.kind, element.damping});
        for (const auto& [inertia, coefficient] : element.row) {
            flat.rows.push_back({index, inertia, coefficient});
        }
        for (const ModelTable::Part& part : element.parts) flatten_part(part, index, flat);
        for (const auto& [name, value] : element.smooth)
            flat.smooth.push_back({index, name, value});
    }
    for (const ModelTable::Input& input : model.inputs) {
        const std::int32_t index = next_index(flat.inputs.size());
        flat.inputs.push_back({input.name, input.kind, input.inertia});
        for (const auto& [name, value] : input.parameters) {
            flat.input_parameters.push_back({index, name, value});
        }
        for (const auto& [name, values] : input.tables) {
            flat.input_tables.push_back({index, name, static_cast<std::int64_t>(values.size())});
            flat.input_values.insert(flat.input_values.end(), values.begin(), values.end());
        }
    }
    return flat;
}

ModelTable unflatten(const FlatModel& flat) {
    ModelTable model;
    model.inertias = flat.inertias;
    model.gear_path = flat.gear_path;
    for (const FlatModel::Element& element : flat.elements) {
        model.elements.push_back({element.name, element.kind, {}, element.damping, {}, {}});
    }
    for (const FlatModel::Coefficient& row : flat.rows) {
        owner_of(model.elements, row.element).row.emplace_back(row.inertia, row.coefficient);
    }
    std::vector<ModelTable::Part> parts = nested_parts(flat);
    for (std::size_t i = 0; i < parts.size(); ++i) {
        owner_of(model.elements, flat.parts[i].element).parts.push_back(std::move(parts[i]));
    }
    for (const FlatModel::Parameter& parameter : flat.smooth) {
        owner_of(model.elements, parameter.owner)
            .smooth.emplace_back(parameter.name, parameter.value);
    }
    add_inputs(flat, model);
    return model;
}

}  // namespace damper
