// SPDX-License-Identifier: MIT
#pragma once

// The C++ library that comes with Debian's emscripten is older than the one the project is built
// with. What the rooms use of C++20 and it does not have is put in its place here; nothing else
// includes this file, and a newer library leaves it empty.

#include <version>

#if !defined(__cpp_lib_ranges) || __cpp_lib_ranges < 201911L

#include <algorithm>
#include <charconv>
#include <clocale>
#include <cmath>
#include <cstdlib>
#include <functional>
#include <iterator>
#include <string>
#include <system_error>
#include <type_traits>
#include <utility>

// NOLINTBEGIN(cert-dcl58-cpp): the names are those of the standard
namespace std::ranges {

namespace damper_older {

/// Anything with a beginning and an end.
template <class T>
concept sequence = requires(T& one) {
    std::begin(one);
    std::end(one);
};

/// Compares what a projection makes of two values.
template <class Compare, class Projection>
struct Projected {
    Compare compare;
    Projection projection;
    template <class A, class B>
    bool operator()(A&& a, B&& b) const {
        return std::invoke(compare, std::invoke(projection, a), std::invoke(projection, b));
    }
};

struct identity {
    template <class T>
    T&& operator()(T&& one) const {
        return std::forward<T>(one);
    }
};

/// What is left at the end of a sequence.
template <class Iterator>
struct Rest {
    Iterator first, last;
    [[nodiscard]] Iterator begin() const { return first; }
    [[nodiscard]] Iterator end() const { return last; }
};

}  // namespace damper_older

using damper_older::identity;
using damper_older::Projected;
using damper_older::sequence;

template <sequence R, class Test, class P = identity>
bool all_of(R&& r, Test test, P p = {}) {
    return std::all_of(std::begin(r), std::end(r),
                       [&](auto&& x) -> bool { return std::invoke(test, std::invoke(p, x)); });
}
template <sequence R, class Test, class P = identity>
bool any_of(R&& r, Test test, P p = {}) {
    return std::any_of(std::begin(r), std::end(r),
                       [&](auto&& x) -> bool { return std::invoke(test, std::invoke(p, x)); });
}
template <sequence R, class Test, class P = identity>
bool none_of(R&& r, Test test, P p = {}) {
    return !ranges::any_of(r, std::move(test), std::move(p));
}
template <sequence R, class T, class P = identity>
auto find(R&& r, const T& value, P p = {}) {
    return std::find_if(std::begin(r), std::end(r),
                        [&](auto&& x) -> bool { return std::invoke(p, x) == value; });
}
template <sequence R, class Test, class P = identity>
auto find_if(R&& r, Test test, P p = {}) {
    return std::find_if(std::begin(r), std::end(r),
                        [&](auto&& x) -> bool { return std::invoke(test, std::invoke(p, x)); });
}
template <sequence R, class T, class P = identity>
auto count(R&& r, const T& value, P p = {}) {
    return std::count_if(std::begin(r), std::end(r),
                         [&](auto&& x) -> bool { return std::invoke(p, x) == value; });
}
template <sequence R, class Test, class P = identity>
auto count_if(R&& r, Test test, P p = {}) {
    return std::count_if(std::begin(r), std::end(r),
                         [&](auto&& x) -> bool { return std::invoke(test, std::invoke(p, x)); });
}
template <sequence A, sequence B>
bool equal(A&& a, B&& b) {
    return std::equal(std::begin(a), std::end(a), std::begin(b), std::end(b));
}
template <sequence R, class Test = std::equal_to<>>
auto adjacent_find(R&& r, Test test = {}) {
    return std::adjacent_find(std::begin(r), std::end(r), test);
}
template <sequence R, class Compare = std::less<>, class P = identity>
auto max_element(R&& r, Compare compare = {}, P p = {}) {
    return std::max_element(std::begin(r), std::end(r), Projected<Compare, P>{compare, p});
}
template <sequence R, class Compare = std::less<>, class P = identity>
auto min_element(R&& r, Compare compare = {}, P p = {}) {
    return std::min_element(std::begin(r), std::end(r), Projected<Compare, P>{compare, p});
}
template <sequence R, class Compare = std::less<>, class P = identity>
auto minmax_element(R&& r, Compare compare = {}, P p = {}) {
    struct Both {
        decltype(std::begin(r)) min, max;
    };
    const auto both =
        std::minmax_element(std::begin(r), std::end(r), Projected<Compare, P>{compare, p});
    return Both{both.first, both.second};
}
template <sequence R, class Out>
auto move(R&& r, Out out) {
    return std::move(std::begin(r), std::end(r), out);
}
template <sequence R, class Out>
auto copy(R&& r, Out out) {
    return std::copy(std::begin(r), std::end(r), out);
}
template <sequence R, class T>
void fill(R&& r, const T& value) {
    std::fill(std::begin(r), std::end(r), value);
}
template <sequence R, class T>
void replace(R&& r, const T& old, const T& with) {
    std::replace(std::begin(r), std::end(r), old, with);
}
template <sequence R>
void reverse(R&& r) {
    std::reverse(std::begin(r), std::end(r));
}
template <sequence R, class Compare = std::less<>, class P = identity>
void sort(R&& r, Compare compare = {}, P p = {}) {
    std::sort(std::begin(r), std::end(r), Projected<Compare, P>{compare, p});
}
template <sequence R, class Compare = std::less<>, class P = identity>
void stable_sort(R&& r, Compare compare = {}, P p = {}) {
    std::stable_sort(std::begin(r), std::end(r), Projected<Compare, P>{compare, p});
}
template <sequence R, class Out, class Function, class P = identity>
auto transform(R&& r, Out out, Function function, P p = {}) {
    return std::transform(std::begin(r), std::end(r), out, [&](auto&& x) -> decltype(auto) {
        return std::invoke(function, std::invoke(p, x));
    });
}
template <sequence R, class Test = std::equal_to<>>
auto unique(R&& r, Test test = {}) {
    using Iterator = decltype(std::begin(r));
    return damper_older::Rest<Iterator>{std::unique(std::begin(r), std::end(r), test), std::end(r)};
}
template <sequence R, class T, class Compare = std::less<>, class P = identity>
auto upper_bound(R&& r, const T& value, Compare compare = {}, P p = {}) {
    return std::upper_bound(std::begin(r), std::end(r), value, [&](const T& v, auto&& x) -> bool {
        return std::invoke(compare, v, std::invoke(p, x));
    });
}
template <sequence R, class T, class Compare = std::less<>, class P = identity>
auto lower_bound(R&& r, const T& value, Compare compare = {}, P p = {}) {
    return std::lower_bound(std::begin(r), std::end(r), value, [&](auto&& x, const T& v) -> bool {
        return std::invoke(compare, std::invoke(p, x), v);
    });
}

}  // namespace std::ranges

namespace std {

/// Reads a decimal number as the standard has it: no blank and no sign '+' before it, as far as it
/// goes. Correctly rounded, because emscripten's strtod is.
inline from_chars_result from_chars(const char* first, const char* last, double& value) {
    const char* at = first;
    if (at != last && *at == '-') ++at;
    const auto digits = [&] {
        const char* const begin = at;
        while (at != last && *at >= '0' && *at <= '9') ++at;
        return at - begin;
    };
    auto count = digits();
    if (at != last && *at == '.') {
        ++at;
        count += digits();
    }
    if (count == 0) return {first, errc::invalid_argument};
    if (at != last && (*at == 'e' || *at == 'E')) {
        const char* const before = at++;
        if (at != last && (*at == '-' || *at == '+')) ++at;
        if (digits() == 0) at = before;
    }
    const string text(first, at);
    const double read = strtod(text.c_str(), nullptr);
    const bool nothing_but_zeros =
        text.substr(0, text.find_first_of("eE")).find_first_of("123456789") == string::npos;
    if (isinf(read) || (read == 0.0 && !nothing_but_zeros)) {
        return {at, errc::result_out_of_range};
    }
    value = read;
    return {at, errc{}};
}

}  // namespace std
// NOLINTEND(cert-dcl58-cpp)

#endif
