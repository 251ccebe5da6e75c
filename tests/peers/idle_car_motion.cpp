// SPDX-License-Identifier: MIT
#include "tests/peers/idle_car.hpp"

#include <algorithm>
#include <cmath>
#include <cvode/cvode.h>
#include <memory>
#include <nvector/nvector_serial.h>
#include <stdexcept>
#include <string>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <type_traits>

namespace damper::peers {

namespace {

enum class Washer { grips, slips_up, slips_down };

/// What stays constant between two switches.
struct Phase {
    std::vector<Washer> washer;                ///< Of each stage
    std::vector<double> rests;                 ///< Where each washer rests [rad]
    std::vector<std::array<bool, 2>> touches;  ///< Coast and drive face of each gear
};

/// What the nodes between the stages, which have no inertia, settle to.
struct Node {
    double torque = 0.0;
    std::vector<double> twist;  ///< Of each stage
};

double washer_torque(const Stage& stage, Washer phase, double rests, double twist) {
    if (phase == Washer::grips) return stage.grip * (twist - rests);
    return phase == Washer::slips_up ? stage.limit : -stage.limit;
}

/// Twist of one stage that carries `torque`, and its compliance there.
struct Yield {
    double twist = 0.0, compliance = 0.0;
};

Yield yield(const Stage& s, Washer phase, double rests, double torque) {
    const std::array<double, 4> corner = {-s.end[0], -s.seat[0], s.seat[1], s.end[1]};
    const std::array<double, 5> slope = {s.contact, s.stiffness[0], s.contact, s.stiffness[1],
                                         s.contact};
    const auto at = [&](double x) { return s.spring(x) + washer_torque(s, phase, rests, x); };
    std::size_t i = 0;
    while (i < corner.size() && at(corner[i]) < torque) ++i;
    const double from = corner[i == 0 ? 0 : i - 1];
    const double k = slope[i] + (phase == Washer::grips ? s.grip : 0.0);
    return {from + (torque - at(from)) / k, 1.0 / k};
}

/// The nodes at the whole twist `delta`: all stages carry the same torque. Newton's method on that
/// torque, held inside a bracket that only shrinks; ends exactly on a straight piece.
Node balance(const IdleCar& car, const Phase& phase, double delta, double guess) {
    Node node{.torque = guess, .twist = std::vector<double>(car.stages.size())};
    double low = -1e6;
    double high = 1e6;
    for (int i = 0; i < 200; ++i) {
        double sum = 0.0;
        double compliance = 0.0;
        for (std::size_t c = 0; c < car.stages.size(); ++c) {
            const Yield y = yield(car.stages[c], phase.washer[c], phase.rests[c], node.torque);
            node.twist[c] = y.twist;
            sum += y.twist;
            compliance += y.compliance;
        }
        const double miss = delta - sum;
        if (std::abs(miss) <= 1e-17 + 4e-16 * std::abs(delta)) return node;
        (miss > 0.0 ? low : high) = node.torque;
        double next = node.torque + miss / compliance;
        if (!(next > low && next < high)) next = 0.5 * (low + high);
        if (std::abs(next - node.torque) <= 1e-15 * std::abs(next)) break;
        node.torque = next;
    }
    return node;
}

/// y = [ engine angle | disc twist | lash twists | engine speed | input speed | gear speeds ],
/// angles and speeds less the uniform rotation.
class Motion {
  public:
    explicit Motion(const IdleCar& car) : car_(car), n_(car.gears.size()) {
        phase_.touches.assign(n_, {false, true});  // drag holds the gears against the drive face
        phase_.washer.assign(car.stages.size(), Washer::grips);
        start_.assign(size(), 0.0);
        start_[0] = car.crank_angle;
        for (const Stage& stage : car.stages) {
            Stage bare = stage;
            bare.grip = 0.0;
            phase_.rests.push_back(yield(bare, Washer::grips, 0.0, car.drag()).twist);
            start_[1] += phase_.rests.back();
        }
        for (std::size_t i = 0; i < n_; ++i) {
            const LooseGear& g = car.gears[i];
            start_[2 + i] = g.half_gap + (g.drag + g.viscous * g.ratio * car.speed) / g.k;
        }
        for (const Harmonic& h : car.harmonics) {
            // The speed whose fluctuation has no mean.
            const double angle = h.order * car.crank_angle;
            start_[2 + n_] += (h.cosine * std::sin(angle) - h.sine * std::cos(angle)) /
                              (car.engine * h.order * car.speed);
        }
    }

    [[nodiscard]] std::size_t size() const { return 4 + 2 * n_; }
    [[nodiscard]] std::size_t input_speed() const { return 3 + n_; }
    [[nodiscard]] const std::vector<double>& start() const { return start_; }
    [[nodiscard]] std::size_t switches() const { return 5 * car_.stages.size() + 4 * n_; }

    void slope(double t, const double* y, double* dy) {
        ++evaluations;
        const double* twist = y + 1;
        const double engine_speed = y[2 + n_];
        const double input = y[3 + n_];
        const double* gear_speed = y + 4 + n_;
        const double twisting = engine_speed - input;
        guess_ = balance(car_, phase_, twist[0], guess_).torque;
        const double disc = guess_ + car_.disc_damping * twisting;
        dy[0] = engine_speed;
        dy[1] = twisting;
        dy[2 + n_] = (engine_torque(car_.speed * t + y[0]) - disc) / car_.engine;
        double on_input = disc - car_.shaft_drag - car_.shaft_viscous * (car_.speed + input);
        for (std::size_t i = 0; i < n_; ++i) {
            const LooseGear& g = car_.gears[i];
            const double rate = g.ratio * input - gear_speed[i];
            const double teeth = push(i, 1, twist[1 + i], rate) - push(i, 0, twist[1 + i], rate);
            dy[2 + i] = rate;
            dy[4 + n_ + i] =
                (teeth - g.drag - g.viscous * (g.ratio * car_.speed + gear_speed[i])) / g.inertia;
            on_input -= g.ratio * teeth;
        }
        dy[3 + n_] = on_input / car_.input;
    }

    /// What passes zero where the equations change: corners of the stages, washers, teeth.
    void switches(const double* y, double* g) const {
        const Node node = balance(car_, phase_, y[1], guess_);
        const double twisting = y[2 + n_] - y[3 + n_];
        std::size_t at = 0;
        for (std::size_t c = 0; c < car_.stages.size(); ++c) {
            const Stage& s = car_.stages[c];
            g[at++] = node.twist[c] + s.end[0];
            g[at++] = node.twist[c] + s.seat[0];
            g[at++] = node.twist[c] - s.seat[1];
            g[at++] = node.twist[c] - s.end[1];
            g[at++] = phase_.washer[c] != Washer::grips
                          ? twisting
                          : s.limit - s.grip * std::abs(node.twist[c] - phase_.rests[c]);
        }
        for (std::size_t i = 0; i < n_; ++i) {
            const double rate = car_.gears[i].ratio * y[3 + n_] - y[4 + n_ + i];
            for (const std::size_t face : {0U, 1U}) {
                g[at++] = penetration(i, face, y[2 + i]);
                g[at++] = phase_.touches[i][face] ? raw_push(i, face, y[2 + i], rate) : 1.0;
            }
        }
    }

    /// Changes the phase where a switch was met; `which` as CVODE tells it.
    void pass(double t, const double* y, const int* which, std::vector<Course::Touch>& touches) {
        const Node node = balance(car_, phase_, y[1], guess_);
        std::size_t at = 0;
        for (std::size_t c = 0; c < car_.stages.size(); ++c, at += 5) {
            // A washer that has just gripped stands at its limit and comes back from it.
            const bool grips = phase_.washer[c] == Washer::grips;
            if (which[at + 4] < 0 || (which[at + 4] > 0 && !grips)) turn_washer(c, node.twist[c]);
        }
        for (std::size_t i = 0; i < n_; ++i) {
            const double rate = car_.gears[i].ratio * y[3 + n_] - y[4 + n_ + i];
            for (const std::size_t face : {0U, 1U}) {
                if (which[at] > 0 && !phase_.touches[i][face]) {
                    touches.push_back({.time = t, .speed = std::abs(rate)});
                }
                if (which[at] != 0) phase_.touches[i][face] = which[at] > 0;
                at += 2;
            }
        }
    }

    long evaluations = 0;

  private:
    [[nodiscard]] double engine_torque(double angle) const {
        double sum = car_.drag();  // the mean is what the gearbox takes
        for (const Harmonic& h : car_.harmonics) {
            sum += h.cosine * std::cos(h.order * angle) + h.sine * std::sin(h.order * angle);
        }
        return sum;
    }

    [[nodiscard]] double penetration(std::size_t i, std::size_t face, double twist) const {
        return (face == 1 ? twist : -twist) - car_.gears[i].half_gap;
    }

    [[nodiscard]] double raw_push(std::size_t i, std::size_t face, double twist,
                                  double rate) const {
        const LooseGear& g = car_.gears[i];
        return g.k * penetration(i, face, twist) + g.c * (face == 1 ? rate : -rate);
    }

    /// Teeth press or do nothing; oil on them does not pull.
    [[nodiscard]] double push(std::size_t i, std::size_t face, double twist, double rate) const {
        return phase_.touches[i][face] ? std::max(0.0, raw_push(i, face, twist, rate)) : 0.0;
    }

    void turn_washer(std::size_t c, double twist) {
        const Stage& s = car_.stages[c];
        Washer& washer = phase_.washer[c];
        if (washer == Washer::grips) {
            washer = twist > phase_.rests[c] ? Washer::slips_up : Washer::slips_down;
            return;
        }
        phase_.rests[c] = twist - (washer == Washer::slips_up ? 1.0 : -1.0) * s.limit / s.grip;
        washer = Washer::grips;
    }

    const IdleCar& car_;
    std::size_t n_;
    Phase phase_;
    std::vector<double> start_;
    double guess_ = 0.0;
};

int slope_of(realtype t, N_Vector y, N_Vector dy, void* motion) {
    static_cast<Motion*>(motion)->slope(t, N_VGetArrayPointer(y), N_VGetArrayPointer(dy));
    return 0;
}

int switches_of(realtype, N_Vector y, realtype* g, void* motion) {
    static_cast<Motion*>(motion)->switches(N_VGetArrayPointer(y), g);
    return 0;
}

void need(int flag, const char* what) {
    if (flag < 0) {
        throw std::runtime_error(std::string("CVODE: ") + what + " failed with " +
                                 std::to_string(flag));
    }
}

/// CVODE's objects, freed in the right order.
class Integrator {
  public:
    Integrator(Motion& motion, Formulas formulas, double tolerance) : motion_(motion) {
        SUNContext context = nullptr;
        need(SUNContext_Create(nullptr, &context), "context");
        context_.reset(context);
        const auto n = static_cast<sunindextype>(motion.size());
        y_.reset(N_VNew_Serial(n, context));
        allowed_.reset(N_VNew_Serial(n, context));
        matrix_.reset(SUNDenseMatrix(n, n, context));
        linear_.reset(SUNLinSol_Dense(y_.get(), matrix_.get(), context));
        std::copy(motion.start().begin(), motion.start().end(), state());
        const std::size_t angles = motion.size() / 2;
        for (std::size_t i = 0; i < motion.size(); ++i) {
            N_VGetArrayPointer(allowed_.get())[i] = i < angles ? 1e-3 * tolerance : tolerance;
        }
        memory_.reset(CVodeCreate(formulas == Formulas::bdf ? CV_BDF : CV_ADAMS, context));
        need(CVodeInit(memory(), slope_of, 0.0, y_.get()), "start");
        need(CVodeSVtolerances(memory(), 0.0, allowed_.get()), "tolerances");
        need(CVodeSetUserData(memory(), &motion), "user data");
        need(CVodeSetLinearSolver(memory(), linear_.get(), matrix_.get()), "linear solver");
        need(CVodeSetMaxNumSteps(memory(), 10'000'000), "step count");
        need(CVodeSetMaxStep(memory(), 5e-4), "largest step");
        need(CVodeRootInit(memory(), static_cast<int>(motion.switches()), switches_of), "roots");
        which_.resize(motion.switches());
    }

    [[nodiscard]] double* state() { return N_VGetArrayPointer(y_.get()); }

    /// Up to `until`, restarting at every switch on the way.
    void go(double until, Course& course) {
        while (time_ < until) {
            const int flag = CVode(memory(), until, y_.get(), &time_, CV_NORMAL);
            need(flag, "step");
            if (flag != CV_ROOT_RETURN) continue;
            need(CVodeGetRootInfo(memory(), which_.data()), "root info");
            motion_.pass(time_, state(), which_.data(), course.touches);
            long steps = 0;
            need(CVodeGetNumSteps(memory(), &steps), "step count");
            course.steps += steps;
            need(CVodeReInit(memory(), time_, y_.get()), "restart");
            ++course.restarts;
        }
    }

  private:
    struct Free {
        void operator()(SUNContext c) const { SUNContext_Free(&c); }
        void operator()(N_Vector v) const { N_VDestroy(v); }
        void operator()(SUNMatrix m) const { SUNMatDestroy(m); }
        void operator()(SUNLinearSolver s) const { SUNLinSolFree(s); }
    };
    template <typename T>
    using Owned = std::unique_ptr<std::remove_pointer_t<T>, Free>;
    struct FreeMemory {
        void operator()(void* memory) const { CVodeFree(&memory); }
    };

    [[nodiscard]] void* memory() { return memory_.get(); }

    Motion& motion_;
    Owned<SUNContext> context_;
    Owned<N_Vector> y_, allowed_;
    Owned<SUNMatrix> matrix_;
    Owned<SUNLinearSolver> linear_;
    std::unique_ptr<void, FreeMemory> memory_;
    std::vector<int> which_;
    double time_ = 0.0;
};

}  // namespace

Course integrate(const IdleCar& car, Formulas formulas, double end, double step, double tolerance) {
    Motion motion(car);
    Integrator integrator(motion, formulas, tolerance);
    Course course;
    course.start.assign(motion.start().begin() + 1,
                        motion.start().begin() + 2 + static_cast<std::ptrdiff_t>(car.gears.size()));
    const auto samples = static_cast<long>(std::lround(end / step));
    course.input_speed.push_back(car.speed + integrator.state()[motion.input_speed()]);
    for (long i = 1; i <= samples; ++i) {
        integrator.go(static_cast<double>(i) * step, course);
        course.input_speed.push_back(car.speed + integrator.state()[motion.input_speed()]);
    }
    course.evaluations = motion.evaluations;
    return course;
}

}  // namespace damper::peers
