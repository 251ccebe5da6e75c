// SPDX-License-Identifier: MIT
#include "libdamper/results/sealed_image.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/results/seal.hpp"

namespace damper {

std::vector<std::byte> sealed_image(const std::string& what,
                                    const std::function<void(GroupOut& root)>& fill) {
    const H5Quiet quiet;
    try {
        H5Image image;
        {
            GroupOut root = image.root();
            fill(root);
        }
        std::vector<std::byte> bytes = image.finish();
        add_seal(bytes);
        return bytes;
    } catch (const H5Failure& failure) {
        throw FileError(what + " cannot be built in memory: " + failure.what());
    }
}

}  // namespace damper
