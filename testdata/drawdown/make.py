#!/usr/bin/python3
"""Reference fits for blend/drawdown, from SciPy (Debian python3-scipy 1.10).

    /usr/bin/python3 testdata/drawdown/make.py

fit.csv has one line for each of 36 made-up bands: its K and S by SciPy's
bounded least squares (scipy.optimize.least_squares, trust region reflective),
the two standard errors from its Jacobian for readings good to 0.01, and the
six noisy reflectances it was given: areal masses 0.05, 0.1 and 0.2 mg/cm^2,
each over grounds 0.05 and 0.8, in that order, no surface, no beam. The model
is Kubelka's hyperbolic solution. In a third of the bands no K was put in, so that the
bound is reached.
"""
import os
import numpy as np
from scipy.optimize import least_squares

here = os.path.dirname(os.path.abspath(__file__))
rng = np.random.default_rng(20)
mass = np.repeat([0.05, 0.1, 0.2], 2)
ground = np.tile([0.05, 0.8], 3)


def reflect(k, s):
    k, s = np.maximum(k * mass, 1e-12), np.maximum(s * mass, 1e-12)
    a = 1 + k / s
    b = np.sqrt(a * a - 1)
    c = b / np.tanh(b * s)
    return (1 - ground * (a - c)) / (a - ground + c)


rows = ["# K,S,error of K,error of S,six readings\n"]
for band in range(36):
    k = 0.0 if band % 3 == 0 else 10 ** rng.uniform(-0.5, 1)
    s = 10 ** rng.uniform(0, 1)
    read = reflect(k, s) + 0.01 * rng.standard_normal(6)
    best = None
    for start in ([0.1, 1.0], [5.0, 5.0]):
        f = least_squares(lambda p: (reflect(*p) - read) / 0.01, start, bounds=(0, np.inf), xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale=(1, 1), max_nfev=2000)
        if best is None or f.cost < best.cost:
            best = f
    cov = np.linalg.inv(best.jac.T @ best.jac)
    values = [*best.x, *np.sqrt(np.diag(cov)), *read]
    rows.append(",".join(repr(float(v)) for v in values) + "\n")
with open(os.path.join(here, "fit.csv"), "w") as f:
    f.writelines(rows)
