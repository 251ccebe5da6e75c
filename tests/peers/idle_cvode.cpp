// SPDX-License-Identifier: MIT
#include "tests/peers/idle_motion.hpp"

#include <algorithm>
#include <cmath>
#include <cvode/cvode.h>
#include <memory>
#include <nvector/nvector_serial.h>
#include <stdexcept>
#include <string>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>
#include <type_traits>

namespace damper::peers {

namespace {

int slope_of(realtype t, N_Vector y, N_Vector dy, void* motion) {
    static_cast<IdleMotion*>(motion)->slope(t, N_VGetArrayPointer(y), N_VGetArrayPointer(dy));
    return 0;
}

int guards_of(realtype, N_Vector y, realtype* g, void* motion) {
    static_cast<IdleMotion*>(motion)->guards(N_VGetArrayPointer(y), g);
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
    Integrator(IdleMotion& motion, Formulas formulas, double tolerance) : motion_(motion) {
        SUNContext context = nullptr;
        need(SUNContext_Create(nullptr, &context), "context");
        context_.reset(context);
        const auto n = static_cast<sunindextype>(motion.size());
        y_.reset(N_VNew_Serial(n, context));
        allowed_.reset(N_VNew_Serial(n, context));
        std::copy(motion.start().begin(), motion.start().end(), state());
        for (std::size_t i = 0; i < motion.size(); ++i) {
            N_VGetArrayPointer(allowed_.get())[i] =
                i < motion.angles() ? angle_per_speed * tolerance : tolerance;
        }
        memory_.reset(CVodeCreate(formulas == Formulas::bdf ? CV_BDF : CV_ADAMS, context));
        need(CVodeInit(memory(), slope_of, 0.0, y_.get()), "start");
        need(CVodeSVtolerances(memory(), 0.0, allowed_.get()), "tolerances");
        need(CVodeSetUserData(memory(), &motion), "user data");
        if (formulas == Formulas::bdf) {
            matrix_.reset(SUNDenseMatrix(n, n, context));
            linear_.reset(SUNLinSol_Dense(y_.get(), matrix_.get(), context));
            need(CVodeSetLinearSolver(memory(), linear_.get(), matrix_.get()), "linear solver");
        } else {
            fixed_point_.reset(SUNNonlinSol_FixedPoint(y_.get(), 0, context));
            need(CVodeSetNonlinearSolver(memory(), fixed_point_.get()), "fixed point");
        }
        need(CVodeSetMaxNumSteps(memory(), 10'000'000), "step count");
        need(CVodeSetMaxStep(memory(), largest_step), "largest step");
        need(CVodeRootInit(memory(), static_cast<int>(motion.guards()), guards_of), "roots");
        fell_.assign(motion.guards(), -1);
        need(CVodeSetRootDirection(memory(), fell_.data()), "root direction");
    }

    [[nodiscard]] double* state() { return N_VGetArrayPointer(y_.get()); }

    /// Up to `until`, restarting at every switch on the way.
    void go(double until, Course& course) {
        while (time_ < until) {
            const int flag = CVode(memory(), until, y_.get(), &time_, CV_NORMAL);
            need(flag, "step");
            if (flag != CV_ROOT_RETURN) continue;
            need(CVodeGetRootInfo(memory(), fell_.data()), "root info");
            motion_.pass(time_, state(), fell_.data(), course.touches);
            course.steps += steps();
            need(CVodeReInit(memory(), time_, y_.get()), "restart");
            bound_switches(++course.restarts, time_);
        }
    }

    /// Since the last restart.
    [[nodiscard]] long steps() {
        long count = 0;
        need(CVodeGetNumSteps(memory(), &count), "step count");
        return count;
    }

  private:
    struct Free {
        void operator()(SUNContext c) const { SUNContext_Free(&c); }
        void operator()(N_Vector v) const { N_VDestroy(v); }
        void operator()(SUNMatrix m) const { SUNMatDestroy(m); }
        void operator()(SUNLinearSolver s) const { SUNLinSolFree(s); }
        void operator()(SUNNonlinearSolver s) const { SUNNonlinSolFree(s); }
    };
    template <typename T>
    using Owned = std::unique_ptr<std::remove_pointer_t<T>, Free>;
    struct FreeMemory {
        void operator()(void* memory) const { CVodeFree(&memory); }
    };

    [[nodiscard]] void* memory() { return memory_.get(); }

    IdleMotion& motion_;
    Owned<SUNContext> context_;
    Owned<N_Vector> y_, allowed_;
    Owned<SUNMatrix> matrix_;
    Owned<SUNLinearSolver> linear_;          ///< BDF: Newton's method
    Owned<SUNNonlinearSolver> fixed_point_;  ///< Adams
    std::unique_ptr<void, FreeMemory> memory_;
    std::vector<int> fell_;
    double time_ = 0.0;
};

}  // namespace

Course integrate(const IdleCar& car, Formulas formulas, double end, double step, double tolerance) {
    IdleMotion motion(car);
    Integrator integrator(motion, formulas, tolerance);
    Course course;
    course.start.assign(motion.start().begin() + 1,
                        motion.start().begin() + static_cast<std::ptrdiff_t>(motion.angles()));
    const auto samples = static_cast<long>(std::lround(end / step));
    course.input_speed.push_back(car.speed + integrator.state()[motion.input_speed()]);
    for (long i = 1; i <= samples; ++i) {
        integrator.go(static_cast<double>(i) * step, course);
        course.input_speed.push_back(car.speed + integrator.state()[motion.input_speed()]);
    }
    course.steps += integrator.steps();
    course.evaluations = motion.evaluations;
    return course;
}

}  // namespace damper::peers
