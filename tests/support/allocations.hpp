// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdlib>
#include <new>

/// Counts what the test program allocates by operator new. Include it in one file of a test
/// program only: it replaces the operators.
namespace damper::test {

inline std::size_t& allocations() {
    static std::size_t count = 0;
    return count;
}

}  // namespace damper::test

// NOLINTBEGIN(cppcoreguidelines-no-malloc,misc-definitions-in-headers)
[[gnu::noinline]] void* operator new(std::size_t size) {
    ++damper::test::allocations();
    if (void* place = std::malloc(size == 0 ? 1 : size)) return place;
    throw std::bad_alloc();
}
[[gnu::noinline]] void* operator new(std::size_t size, const std::nothrow_t&) noexcept {
    ++damper::test::allocations();
    return std::malloc(size == 0 ? 1 : size);
}
[[gnu::noinline]] void operator delete(void* place) noexcept {
    std::free(place);
}
[[gnu::noinline]] void operator delete(void* place, std::size_t) noexcept {
    std::free(place);
}
// NOLINTEND(cppcoreguidelines-no-malloc,misc-definitions-in-headers)
