#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Transfer functions of the shipped car in third gear (1800 rpm, 80 N m, friction slipping) by
SciPy, another way than the program's: first-order state equations and, to check them, the sum over
their complex modes (scipy.linalg.eig). Prints the table of response_test.cpp.

Needs NumPy, SciPy and h5py:
    damper response car_petrol --gear 3 --speed '1800 rpm' --torque '80 N m' --friction slips -o DIR
    response_by_state_space.py DIR/car_petrol_response.h5
"""
import sys

import h5py
import numpy as np
import scipy
from scipy import linalg


def model(path):
    with h5py.File(path) as file:
        group = file["model"]
        names = [name.decode() for name in group["inertias/name"][...]]
        mass = group["inertias/inertia"][...]
        stiffness = group["elements/stiffness"][...]
        damping = group["elements/damping"][...]
        elements = [name.decode() for name in group["elements/name"][...]]
        rows = np.zeros((len(elements), len(names)))
        for e, i, g in zip(group["rows/element"][...], group["rows/inertia"][...],
                           group["rows/coefficient"][...]):
            rows[e, i] += g
    return names, mass, elements, rows, stiffness, damping


def main(path):
    names, mass, elements, rows, stiffness, damping = model(path)
    n = len(names)
    k = rows.T @ np.diag(stiffness) @ rows
    c = rows.T @ np.diag(damping) @ rows
    a = np.block([[np.zeros((n, n)), np.eye(n)],
                  [-k / mass[:, None], -c / mass[:, None]]])
    b = np.zeros(2 * n)
    b[n + names.index("engine")] = 1.0 / mass[names.index("engine")]
    values, left, right = linalg.eig(a, left=True, right=True)
    shares = (left.conj().T @ b) / np.einsum("ij,ij->j", left.conj(), right)

    shaft = elements.index("half shaft left")
    print(f"// NumPy {np.__version__}, SciPy {scipy.__version__}")
    for f in (1.5, 4.0, 5.6, 12.0, 33.0, 60.0, 139.0, 400.0):
        s = 2j * np.pi * f
        x = linalg.solve(s * np.eye(2 * n) - a, b)
        by_modes = right @ (shares / (s - values))
        # The modes of a line that turns away lie close together at zero: that costs digits.
        apart = np.abs(x - by_modes).max() / np.abs(x).max()
        assert apart < 1e-4, (f, apart)
        twist, rate = rows[shaft] @ x[:n], rows[shaft] @ x[n:]
        told = [x[n + names.index("engine")], x[n + names.index("input shaft")],
                s * x[n + names.index("vehicle")], stiffness[shaft] * twist + damping[shaft] * rate]
        cells = ", ".join(f"{{{z.real:.10g}, {z.imag:.10g}}}" for z in told)
        print(f"{{{f}, {cells}}},")


if __name__ == "__main__":
    main(sys.argv[1])
