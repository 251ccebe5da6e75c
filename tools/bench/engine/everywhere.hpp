// SPDX-License-Identifier: MIT
#pragma once

// Read once for all sources of the engine (a precompiled header): what is slow to read.
#include "tools/bench/engine/older_library.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>
