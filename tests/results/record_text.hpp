// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <fmt/format.h>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace damper::testing {

// Every field of a record as text, for comparing. The structured bindings name all members of a
// struct: a member that is added later does not compile here until it is taken in.

inline std::string text_of(const std::string& value) {
    return "\"" + value + "\"";
}
inline std::string text_of(double value) {
    return fmt::format("{:a}", value);
}
inline std::string text_of(int value) {
    return fmt::format("{}", value);
}
inline std::string text_of(std::int64_t value) {
    return fmt::format("{}", value);
}
inline std::string text_of(bool value) {
    return value ? "yes" : "no";
}
inline std::string text_of(Grade value) {
    return fmt::format("{}", static_cast<int>(value));
}
inline std::string text_of(Better value) {
    return fmt::format("{}", static_cast<int>(value));
}

template <class A, class B>
std::string text_of(const std::pair<A, B>& pair);
template <class T>
std::string text_of(const std::vector<T>& list);

template <class... T>
std::string all(const T&... values);

inline std::string text_of(const ModelTable::Inertia& x) {
    const auto& [a, b, c] = x;
    return all(a, b, c);
}
inline std::string text_of(const ModelTable::Guard& x) {
    const auto& [a, b, c, d, e, f, g, h, i] = x;
    return all(a, b, c, d, e, f, g, h, i);
}
inline std::string text_of(const ModelTable::Mode& x) {
    const auto& [a, b, c, d, e, f, g, h] = x;
    return all(a, b, c, d, e, f, g, h);
}
inline std::string text_of(const ModelTable::Part& x) {
    const auto& [a, b, c, d] = x;
    return all(a, b, c, d);
}
inline std::string text_of(const ModelTable::Element& x) {
    const auto& [a, b, c, d, e, f] = x;
    return all(a, b, c, d, e, f);
}
inline std::string text_of(const ModelTable::Input& x) {
    const auto& [a, b, c, d, e] = x;
    return all(a, b, c, d, e);
}
inline std::string text_of(const ModelTable& x) {
    const auto& [a, b, c, d] = x;
    return all(a, b, c, d);
}
inline std::string text_of(const Signal& x) {
    const auto& [a, b, c, d] = x;
    return all(a, b, c, d);
}
inline std::string text_of(const SignalSet& x) {
    const auto& [a, b] = x;
    return all(a, b);
}
inline std::string text_of(const Impact& x) {
    const auto& [a, b, c, d, e, f, g, h, i] = x;
    return all(a, b, c, d, e, f, g, h, i);
}
inline std::string text_of(const ModeChange& x) {
    const auto& [a, b, c, d] = x;
    return all(a, b, c, d);
}
inline std::string text_of(const EventTable& x) {
    const auto& [a, b, c, d] = x;
    return all(a, b, c, d);
}
inline std::string text_of(const OrderSpectrum& x) {
    const auto& [a, b, c, d] = x;
    return all(a, b, c, d);
}
inline std::string text_of(const SpeedCourse& x) {
    const auto& [a, b, c, d, e] = x;
    return all(a, b, c, d, e);
}
inline std::string text_of(const DiscLoop::Corner& x) {
    const auto& [a, b, c] = x;
    return all(a, b, c);
}
inline std::string text_of(const DiscLoop& x) {
    const auto& [a, b, c, d] = x;
    return all(a, b, c, d);
}
inline std::string text_of(const StageUse& x) {
    const auto& [a, b, c] = x;
    return all(a, b, c);
}
inline std::string text_of(const GearImpacts& x) {
    const auto& [a, b, c, d, e, f, g] = x;
    return all(a, b, c, d, e, f, g);
}
inline std::string text_of(const std::optional<Certainty>& x) {
    if (!x) return "unknown";
    const auto& [a, b, c, d] = *x;
    return all(a, b, c, d);
}
inline std::string text_of(const MeasureValue& x) {
    const auto& [a, b, c, d, e, f] = x;
    return all(a, b, c, d, e, f);
}
inline std::string text_of(const StartReport& x) {
    const auto& [a, b, c, d, e, f, g, h, i, j] = x;
    return all(a, b, c, d, e, f, g, h, i, j);
}
inline std::string text_of(const StopReport& x) {
    const auto& [a, b, c, d, e] = x;
    return all(a, b, c, d, e);
}
inline std::string text_of(const EnergyBook::Entry& x) {
    const auto& [a, b, c, d] = x;
    return all(a, b, c, d);
}
inline std::string text_of(const EnergyBook& x) {
    const auto& [a] = x;
    return all(a);
}
inline std::string text_of(const SolverReport& x) {
    const auto& [a, b, c, d, e, f, g, not_in_the_file, h, i, j, k, l] = x;
    (void)not_in_the_file;
    return all(a, b, c, d, e, f, g, h, i, j, k, l);
}
inline std::string text_of(const Judgement& x) {
    const auto& [a, b, c, d, e, f, g, h, i] = x;
    return all(a, b, c, d, e, f, g, h, i);
}
inline std::string text_of(const BandResult& x) {
    const auto& [a, b, c, d, e, f, g] = x;
    return all(a, b, c, d, e, f, g);
}
inline std::string text_of(const Verdict& x) {
    const auto& [a, b, c, d, e, f] = x;
    return all(a, b, c, d, e, f);
}
inline std::string text_of(const RunIdentity& x) {
    const auto& [a, b, c, d, e, f, g, h, i, j, k, l, m, n, o] = x;
    return all(a, b, c, d, e, f, g, h, i, j, k, l, m, n, o);
}
inline std::string text_of(const RunRecord& x) {
    const auto& [a, b, c, d, e, f, g, h, i, j, k, l, m, n, o] = x;
    return all(a, b, c, d, e, f, g, h, i, j, k, l, m, n, o);
}

template <class A, class B>
std::string text_of(const std::pair<A, B>& pair) {
    return text_of(pair.first) + ": " + text_of(pair.second);
}

template <class T>
std::string text_of(const std::vector<T>& list) {
    std::string text = "[";
    for (const T& item : list) text += text_of(item) + "\n";
    return text + "]";
}

template <class... T>
std::string all(const T&... values) {
    std::string text = "{";
    ((text += text_of(values) + ", "), ...);
    return text + "}";
}

}  // namespace damper::testing
