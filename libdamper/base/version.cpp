// SPDX-License-Identifier: MIT
#include "libdamper/base/version.hpp"

namespace damper {

const char* program_version() {
    return DAMPER_VERSION;
}

}  // namespace damper
