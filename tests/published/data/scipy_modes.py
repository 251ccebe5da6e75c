#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""Natural frequencies of assembled vehicles by SciPy: scipy_modes.py DAMPER > scipy_modes.txt

Takes inertias and elements from `damper modes --format json` (not its frequencies), writes them
down with all their digits, and finds

    undamped   generalised symmetric eigenvalues of K and M, in the motions in which what ties
               speeds (no stiffness, more than one inertia, damping) does not slip
    damped     eigenvalues of the first-order form (0 I; -M^-1 K, -M^-1 C)

with LAPACK through scipy.linalg. Nothing here shares code or method with the library, which works
on singular values of the rows.
"""
import json
import subprocess
import sys

import numpy
import scipy
import scipy.linalg

CASES = [("car_idle_hot", "neutral"), ("car_tip_in_2", "2"), ("car_tip_in_5", "5"),
         ("car_idle_hot", "R"), ("van_idle_hot", "3"), ("medium_truck_idle_hot", "1"),
         ("heavy_truck_tip_in_3", "3"), ("heavy_truck_idle_hot", "neutral")]


def numbers(values):
    return " ".join(repr(float(v)) for v in values)


def one_case(damper, scenario, gear):
    done = subprocess.run([damper, "modes", scenario, "--gear", gear, "--format", "json"],
                          check=True, capture_output=True, text=True)
    point = json.loads(done.stdout)["gears"][0]
    mass = numpy.array([i["inertia_kg_m2"] for i in point["inertias"]])
    n = len(mass)
    stiffness, damping, held = numpy.zeros((n, n)), numpy.zeros((n, n)), []
    print(f"case {scenario} {gear}")
    print("inertias", numbers(mass))
    for element in point["elements"]:
        k, c = element["stiffness_n_m_per_rad"], element["damping_n_m_s_per_rad"]
        row = numpy.array(element["row"])
        ties = k == 0.0 and c > 0.0 and numpy.count_nonzero(row) > 1
        print("element", numbers([k, c]), int(ties), numbers(row))
        stiffness += k * numpy.outer(row, row)
        damping += c * numpy.outer(row, row)
        if ties:
            held.append(row)
    free = scipy.linalg.null_space(numpy.array(held)) if held else numpy.eye(n)
    squares = scipy.linalg.eigh(free.T @ stiffness @ free, free.T @ numpy.diag(mass) @ free,
                                eigvals_only=True)
    swinging = squares[squares > 1e-12 * squares[-1]]
    print("undamped", numbers(numpy.sqrt(swinging)))
    first_order = numpy.block([[numpy.zeros((n, n)), numpy.eye(n)],
                               [-stiffness / mass[:, None], -damping / mass[:, None]]])
    roots = scipy.linalg.eigvals(first_order)
    for root in sorted(roots[roots.imag > 1e-3], key=lambda r: r.imag):
        print("damped", numbers([root.real, root.imag]))


def main():
    print("# Made by tests/published/data/scipy_modes.py with SciPy", scipy.__version__)
    print("# element: stiffness [N m/rad], damping [N m s/rad], ties speeds, row; rates in rad/s")
    for scenario, gear in CASES:
        one_case(sys.argv[1], scenario, gear)


if __name__ == "__main__":
    main()
