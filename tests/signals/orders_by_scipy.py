#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Orders of a run-up by SciPy, for crank_angle_test.cpp: angle by scipy.integrate.quad of the speed
that the script knows, brought to the crank's angle by scipy.interpolate.CubicSpline, orders by
numpy.linalg.lstsq over stretches of two engine cycles. Prints order ½, 1, 2 and 4 of each fourth
stretch."""
import numpy as np
import scipy
from scipy import integrate, interpolate

rate, length = 1000.0, 8.0


def speed(t):
    """Mean 90 to 250 rad/s, orders of an angle that is that of the mean alone."""
    a = 90 * t + 10 * t * t
    return (90 + 20 * t + 0.6 * np.cos(0.5 * a + 0.3) + 0.4 * np.cos(a - 1.1)
            + (5 - 0.4 * t) * np.cos(2 * a) + 1.5 * np.sin(4 * a))


t = np.arange(int(rate * length)) / rate
w = speed(t)
angle = np.zeros(len(t))
for i in range(1, len(t)):
    angle[i] = angle[i - 1] + integrate.quad(speed, t[i - 1], t[i])[0]
grid = np.arange(0, angle[-1], 2 * np.pi / 128)
v = interpolate.CubicSpline(angle, w)(grid)
rows = 2 * 2 * 128
print(f"// NumPy {np.__version__}, SciPy {scipy.__version__}")
for block in range(len(v) // rows):
    part = v[block * rows:(block + 1) * rows]
    a = grid[:rows]
    x = np.linspace(-1, 1, rows)
    basis = [np.ones(rows), x, x * x]
    for k in range(1, 17):
        basis += [np.cos(0.5 * k * a), np.sin(0.5 * k * a)]
    p = np.linalg.lstsq(np.array(basis).T, part, rcond=None)[0]
    if block % 4 == 0:
        print("{" + ", ".join(f"{np.hypot(p[1 + 2 * k], p[2 + 2 * k]):.7f}" for k in (1, 2, 4, 8))
              + "},")
