// SPDX-License-Identifier: MIT
#include "libdamper/numerics/sobol_sequence.hpp"

#include "libdamper/base/error.hpp"

#include <boost/random/sobol.hpp>
#include <fmt/format.h>

namespace damper {

SobolSequence::SobolSequence(std::size_t dimensions) {
    if (dimensions == 0 || dimensions > most_dimensions) {
        throw ModelError(fmt::format("a Sobol sequence has 1 to {} dimensions, not {}",
                                     most_dimensions, dimensions));
    }
    directions_.resize(dimensions * bits);
    boost::random::sobol_engine<std::uint32_t, bits> engine(dimensions);
    for (unsigned bit = 0; bit + 1 < bits; ++bit) {
        // Where the Gray code of its count is a power of two, a point is a direction number.
        // Boost leaves the origin out, hence one less.
        engine.seed((std::uint32_t{2} << bit) - 2);
        for (std::size_t d = 0; d < dimensions; ++d) directions_[d * bits + bit] = engine();
    }
}

double SobolSequence::coordinate(std::uint64_t index, std::size_t dimension) const {
    constexpr std::uint64_t most = std::uint64_t{1} << (bits - 1);
    if (index >= most || dimension >= dimensions()) {
        throw ModelError("a Sobol sequence has no such point");
    }
    std::uint32_t sum = 0;
    std::uint64_t code = index ^ (index >> 1U);
    for (unsigned bit = 0; code != 0; ++bit, code >>= 1U) {
        if ((code & 1U) != 0) sum ^= directions_[dimension * bits + bit];
    }
    return static_cast<double>(sum) * 0x1p-32;
}

}  // namespace damper
