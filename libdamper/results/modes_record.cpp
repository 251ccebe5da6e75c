// SPDX-License-Identifier: MIT
#include "libdamper/results/modes_record.hpp"

#include <algorithm>
#include <numbers>
#include <string_view>

namespace damper {

double critical_speed(double frequency, double order) {
    return 2.0 * std::numbers::pi * frequency / order;
}

double highest_met(const ModesRecord& record) {
    double highest = 0.0;
    for (const EngineOrder& order : record.orders) highest = std::max(highest, order.order);
    return highest * record.highest_speed / (2.0 * std::numbers::pi);
}

std::string without_side(const std::string& name) {
    for (const std::string_view side : {" left", " right"}) {
        if (name.ends_with(side)) return name.substr(0, name.size() - side.size());
    }
    return name;
}

bool in_range(const ModesRecord& record, double speed) {
    return speed >= record.lowest_speed && speed <= record.highest_speed;
}

}  // namespace damper
