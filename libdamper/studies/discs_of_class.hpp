// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace damper {

/// Names of the discs in a models folder that are for a class of vehicles, sorted: those that begin
/// with it ("heavy_truck_…"; "van_…" for a light van), less those that are made for the other kind
/// of flywheel. One that cannot be read stays: who tries it is told why.
[[nodiscard]] std::vector<std::string> discs_of_class(const std::filesystem::path& models,
                                                      const std::string& vehicle_class,
                                                      bool two_mass_flywheel);

/// The same kind of part for another class, if there is one: "car_no_idle_stage" of the discs is
/// "van_no_idle_stage" for a light van. Otherwise the name itself.
[[nodiscard]] std::string name_for_class(const std::filesystem::path& folder,
                                         const std::string& name, const std::string& vehicle_class);

}  // namespace damper
