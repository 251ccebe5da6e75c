// SPDX-License-Identifier: MIT
#include "libdamper/describe/read.hpp"

#include "tests/support/samples.hpp"

#include <doctest/doctest.h>
#include <filesystem>
#include <string>
#include <vector>

using namespace damper;
using damper::testing::findings_of;

namespace fs = std::filesystem;

namespace {

const fs::path root = DAMPER_SOURCE_DIR;

/// Reads all descriptions of a folder, says what is wrong and returns how many there are.
template <class Read>
int read_all(const fs::path& folder, Read read) {
    int count = 0;
    for (const auto& entry : fs::directory_iterator(folder)) {
        if (entry.path().extension() != ".toml") continue;
        CAPTURE(entry.path().string());
        const std::string message = to_text(findings_of([&] { read(entry.path()); }));
        CAPTURE(message);
        CHECK(message.empty());
        ++count;
    }
    return count;
}

}  // namespace

TEST_CASE("every scenario that is delivered reads without a finding") {
    const ReadOptions options{root / "models", {}};
    CHECK(read_all(root / "scenarios",
                   [&](const auto& file) { (void)read_scenario(file, options); }) >= 10);
}

TEST_CASE("every vehicle and every disc that is delivered reads without a finding") {
    const ReadOptions options{root / "models", {}};
    CHECK(read_all(root / "models" / "vehicles",
                   [&](const auto& file) { (void)read_vehicle(file, options); }) >= 4);
    CHECK(read_all(root / "models" / "discs",
                   [&](const auto& file) { (void)read_disc(file, options); }) >= 4);
}

TEST_CASE("every part that is delivered fits a vehicle") {
    const fs::path vehicle = root / "models" / "vehicles" / "car_petrol.toml";
    for (const auto& [folder, key] :
         std::vector<std::pair<std::string, std::string>>{{"engines", "engine"},
                                                          {"gearboxes", "gearbox"},
                                                          {"oils", "gearbox.oil"},
                                                          {"covers", "cover"},
                                                          {"facings", "facing"},
                                                          {"axles", "axle"},
                                                          {"tyres", "tyre"}}) {
        CHECK(read_all(root / "models" / folder, [&, part = key](const auto& file) {
                  (void)read_vehicle(vehicle, {root / "models", {{part, file.stem().string()}}});
              }) >= 4);
    }
}
