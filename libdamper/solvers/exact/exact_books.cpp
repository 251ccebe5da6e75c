// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/exact_run.hpp"
#include "libdamper/solvers/exact/polynomial.hpp"

#include <algorithm>
#include <boost/math/quadrature/gauss.hpp>
#include <cmath>

namespace damper {

namespace {

constexpr double negligible = 1e-16;   // of the square of the largest speed
constexpr double longest_decay = 1.0;  // beyond it, closed forms lose no digits

/// Gauss–Legendre nodes and weights on [0, 1].
struct Rule {
    std::span<const double> node, weight;
};

template <unsigned count>
Rule rule() {
    using Table = boost::math::quadrature::gauss<double, count>;
    static const auto filled = [] {
        std::array<std::array<double, count>, 2> out{};
        std::size_t at = 0;
        for (std::size_t i = 0; i < Table::abscissa().size(); ++i) {
            const double x = Table::abscissa()[i];
            const double w = 0.5 * Table::weights()[i];
            if (x != 0.0) {
                out[0][at] = 0.5 * (1.0 - x);
                out[1][at++] = w;
            }
            out[0][at] = 0.5 * (1.0 + x);
            out[1][at++] = w;
        }
        return out;
    }();
    return {filled[0], filled[1]};
}

/// The error of n points for a polynomial of degree 2n on [0, 1] is its coefficient over
/// (2n + 1)·binomial(2n, n)².
struct Accuracy {
    std::size_t points = 0;
    double share = 0.0;
};
constexpr std::array<Accuracy, 3> accuracies = {{{4, 2.27e-5}, {8, 3.55e-10}, {12, 5.47e-15}}};

/// For a decay of this much over the time, at most `longest_decay`.
Rule rule_for_decay(double decay) {
    return decay < 0.05 ? rule<4>() : rule<8>();
}

/// As many points, a multiple of four, as integrate the product of two motions of the core (speeds,
/// or a speed and the torque that makes it) up to s_end to rounding.
Rule rule_for(const CoreMotion& core, double s_end, double top_speed) {
    // Of a product's orders from 2n on, one factor has order n or more.
    std::array<double, CoreMotion::stride + 1> tail;
    const std::size_t orders = core.orders();
    std::array<double, CoreMotion::stride> power;
    power[0] = 1.0;
    for (std::size_t k = 1; k <= orders; ++k) power[k] = power[k - 1] * s_end;
    tail[orders + 1] = 0.0;
    for (std::size_t k = orders; k > 0; --k) {
        tail[k] = tail[k + 1] + static_cast<double>(k) * core.top(k) * power[k];
    }
    for (const Accuracy& a : accuracies) {
        const double half = tail[std::min(a.points, orders + 1)];
        const double whole = tail[std::min(2 * a.points, orders + 1)];
        const double error = a.share * (half * half + 2.0 * top_speed * whole);
        if (error > negligible * top_speed * top_speed) continue;
        return a.points == 4 ? rule<4>() : a.points == 8 ? rule<8>() : rule<12>();
    }
    return rule<16>();
}

}  // namespace

/// Moves a free inertia to time t and books the heat of its viscous drag on the way.
void ExactRun::move_free(std::size_t mass, double t) {
    FreeMotion& f = free_[mass];
    const double dt = t - f.time;
    if (dt > 0.0) {
        for (const std::size_t b : branches_of_[mass]) {
            const double c = book_[b].heat_now.rate;
            if (c == 0.0) continue;
            double factor = 0.0;
            for (const RowEntry& entry : row(b)) {
                if (static_cast<std::size_t>(entry.inertia) == mass) factor += entry.factor;
            }
            if (f.decay * dt > longest_decay) {
                // The rate is last + gone·e^(−decay·t): its square, integrated.
                const double last = factor * f.push / f.decay + stacked_.drift(b);
                const double gone = factor * (f.speed - f.push / f.decay);
                const double once = -std::expm1(-f.decay * dt) / f.decay;
                const double twice = -std::expm1(-2.0 * f.decay * dt) / (2.0 * f.decay);
                book_[b].heat +=
                    c * (last * last * dt + 2.0 * last * gone * once + gone * gone * twice);
                continue;
            }
            const Rule points = rule_for_decay(f.decay * dt);
            double sum = 0.0;
            for (std::size_t q = 0; q < points.node.size(); ++q) {
                const double rate =
                    factor * f.at(f.time + dt * points.node[q]).speed + stacked_.drift(b);
                sum += points.weight[q] * rate * rate;
            }
            book_[b].heat += c * dt * sum;
        }
    }
    f.advance(t);
    angle_[mass] = f.angle;
    speed_[mass] = f.speed;
}

/// Heat, work and contacts of the stretch up to s_end.
void ExactRun::book_stretch(double s_end) {
    const Rule points = rule_for(core_, s_end, top_speed_);
    const std::size_t count = points.node.size();
    std::array<double, Kernel::most_places> s{}, weight{};
    for (std::size_t q = 0; q < count; ++q) {
        s[q] = s_end * points.node[q];
        weight[q] = s_end * length_ * points.weight[q];
    }
    core_.speeds_at({s.data(), count}, node_speed_);
    for (const std::size_t b : metered_) {
        std::array<double, Kernel::most_places> rate;
        rate.fill(stacked_.drift(b));
        for (const RowEntry& entry : row(b)) {
            const auto i = core_.place(static_cast<std::size_t>(entry.inertia));
            kernel_.add_scaled(entry.factor, &node_speed_[i * count], static_cast<int>(count),
                               rate.data());
        }
        double sum = 0.0;
        for (std::size_t q = 0; q < count; ++q) sum += weight[q] * rate[q] * rate[q];
        book_[b].heat += book_[b].heat_now.rate * sum;
    }
    for (std::size_t u = 0; u < work_.size(); ++u) {
        const auto i = static_cast<std::size_t>(line_.inputs[u].inertia);
        const double* const speed = &node_speed_[core_.place(i) * count];
        const std::span<const double> torque = core_.input(u).so_far();
        std::array<double, Kernel::most_places> value;
        kernel_.values_at_many(torque.data(), static_cast<int>(torque.size()) - 1, 1, 1, s.data(),
                               static_cast<int>(count), value.data());
        for (std::size_t q = 0; q < count; ++q) {
            work_[u] += weight[q] * value[q] * (line_.masses[i].reference_speed + speed[q]);
        }
        const RowEntry& reaction = line_.inputs[u].reaction;
        if (!line_.inputs[u].leans()) continue;
        const auto other = static_cast<std::size_t>(reaction.inertia);
        const double* const against = &node_speed_[core_.place(other) * count];
        for (std::size_t q = 0; q < count; ++q) {
            work_[u] += weight[q] * value[q] * reaction.factor *
                        (line_.masses[other].reference_speed + against[q]);
        }
    }
    for (std::size_t i = 0; i < smooth_heat_.size(); ++i) {
        const SmoothSeries& series = core_.smooth(i);
        for (std::size_t q = 0; q < count; ++q) {
            smooth_heat_[i] +=
                weight[q] * value_at(series.so_far(), s[q]) * value_at(series.rates(), s[q]);
        }
    }
    for (std::size_t f = 0; f < face_book_.size(); ++f) {
        const FaceSeries& series = core_.face(f);
        if (series.mode() == Rubbing::sticking) continue;
        for (std::size_t q = 0; q < count; ++q) {
            face_book_[f].heat +=
                weight[q] * value_at(series.torques(), s[q]) * value_at(series.rates(), s[q]);
        }
    }
    for (const std::size_t b : contacts_) book_contact(b, s_end);
}

/// Impulse and peak torque of a contact, as far as it is being recorded.
void ExactRun::book_contact(std::size_t b, double s_end) {
    BranchBook& book = book_[b];
    if (!log_.is_open(book.contact)) return;
    const Stacked::BranchNow& now = book.law;
    const std::span<const double> twist = trimmed(twist_series(b));
    const double c = now.damping / length_;
    const auto [end, rate, half_bend] = local_at(twist, s_end);
    book.impulse +=
        std::abs(length_ * (now.offset * s_end + now.spring * integral_to(twist, s_end)) +
                 now.damping * (end - twist[0]));
    const double first = now.offset + now.spring * twist[0] + c * twist[1];
    const double last = now.offset + now.spring * end + c * rate;
    log_.torque(book.contact, first);
    log_.torque(book.contact, last);
    const double rises = now.spring * twist[1] + 2.0 * c * (twist.size() > 2 ? twist[2] : 0.0);
    const double falls = now.spring * rate + 2.0 * c * half_bend;
    if (rises * falls < 0.0 && rises * (first + last) > 0.0) {
        log_.torque(book.contact, top_between(now, twist, s_end, rises, falls));
    }
}

/// Highest torque of a contact inside a stretch, where its slope changes from `rises` at the start
/// to `falls` at s_end: secants, kept between; the top is flat, so that few do.
double ExactRun::top_between(const Stacked::BranchNow& law, std::span<const double> twist,
                             double s_end, double rises, double falls) const {
    constexpr int secants = 4;
    const double c = law.damping / length_;
    double low = 0.0, high = s_end, torque = 0.0;
    for (int i = 0; i < secants; ++i) {
        const double s = low + (high - low) * rises / (rises - falls);
        const Local at = local_at(twist, s);
        torque = law.offset + law.spring * at.value + c * at.slope;
        const double slope = law.spring * at.slope + 2.0 * c * at.half_bend;
        if (slope * rises > 0.0) {
            low = s;
            rises = slope;
        } else if (slope != 0.0) {
            high = s;
            falls = slope;
        } else {
            break;
        }
    }
    return torque;
}

void ExactRun::book_constant(std::size_t b, double delta) {
    book_[b].heat += book_[b].heat_now.constant * (delta - book_[b].mark);
    book_[b].mark = delta;
}

EnergyBook ExactRun::books() const {
    std::vector<double> heat, stored;
    for (std::size_t b = 0; b < book_.size(); ++b) {
        heat.push_back(book_[b].heat);
        stored.push_back(stacked_.stored(b, state_, stacked_.twist(b, time_, angle_)));
    }
    std::vector<double> face_heat;
    for (const FaceBook& book : face_book_) face_heat.push_back(book.heat);
    return energy_book(line_, {.heat = heat,
                               .stored_before = start_stored_,
                               .stored_now = stored,
                               .smooth_heat = smooth_heat_,
                               .face_heat = face_heat,
                               .work = work_,
                               .speed_before = start_speed_,
                               .speed_now = speed_});
}

}  // namespace damper
