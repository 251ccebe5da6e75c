// SPDX-License-Identifier: MIT
#include "libdamper/studies/identity.hpp"

#include "libdamper/base/version.hpp"

#include <chrono>
#include <ctime>
#include <fmt/chrono.h>
#include <unistd.h>

namespace damper {

namespace {

std::string host_name() {
    char name[256] = {};
    return gethostname(name, sizeof name - 1) == 0 ? std::string(name) : std::string();
}

std::string created_now() {
    const std::time_t now = std::chrono::system_clock::to_time_t(std::chrono::system_clock::now());
    return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(now));
}

}  // namespace

RunIdentity identity_of(const Scenario& scenario, const std::string& manoeuvre,
                        const std::string& command_line) {
    return {.program_version = program_version(),
            .command_line = command_line,
            .scenario = scenario.name,
            .title = scenario.title,
            .origin = scenario.origin,
            .vehicle = scenario.vehicle.title,
            .vehicle_class = scenario.vehicle.vehicle_class,
            .disc = scenario.vehicle.disc.title,
            .manoeuvre = manoeuvre,
            .conditions = {},
            .changes = scenario.changes,
            .inputs = scenario.inputs,
            .causes = scenario.causes,
            .created = created_now(),
            .host = host_name()};
}

}  // namespace damper
