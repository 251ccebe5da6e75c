#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Figures of study_numbers_test.cpp by SciPy. Needs SciPy: statistics_by_scipy.py"""
import scipy
from scipy import stats
from scipy.stats import qmc

print(f"// SciPy {scipy.__version__}")
shares = (1e-9, 0.001, 0.1, 0.5, 0.8, 0.975, 1 - 1e-6)
for name, one in (("normal(3, 0.4)", stats.norm(3, 0.4)),
                  ("cut_normal(3, 0.4, 2.8, 4.5)", stats.truncnorm(-0.5, 3.75, 3, 0.4)),
                  ("cut_normal(0, 1, 3, 5)", stats.truncnorm(3, 5, 0, 1)),
                  ("triangular(-1, 2, 4)", stats.triang(3 / 5, -1, 5))):
    print(f"// {name}")
    print(", ".join(f"{{{p!r}, {one.ppf(p):.15g}}}" for p in shares))
print("// Clopper-Pearson 95 %")
for k, n in ((0, 20), (1, 20), (7, 50), (500, 1000), (99990, 100000), (30, 30)):
    ci = stats.binomtest(k, n).proportion_ci(0.95, "exact")
    print(f"{{{k}, {n}, {ci.low:.12g}, {ci.high:.12g}}},")
print("// Sobol, 21 dimensions: points 1, 5, 1000, 65535; coordinates 0, 1, 6, 20")
points = qmc.Sobol(21, scramble=False).random(65536)
for n in (1, 5, 1000, 65535):
    print(f"{{{n}, {{{', '.join(repr(float(points[n, d])) for d in (0, 1, 6, 20))}}}}},")
