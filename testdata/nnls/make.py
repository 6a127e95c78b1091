#!/usr/bin/python3
"""Reference answers for blend/nnls, from SciPy (Debian python3-scipy 1.10).

    /usr/bin/python3 testdata/nnls/make.py

writes nnls.csv.gz (1,000 systems, scipy.optimize.nnls, which is Lawson and
Hanson's own Fortran) and equality.csv (60 systems with sum x = 1,
scipy.optimize.minimize with SLSQP, then polished on the support it found).

The systems are not stored. Number s of either file is drawn from
    state = s;  state = (state * 6364136223846793005 + 1442695040888963407) mod 2^64
    u = (state >> 11) / 2^53                       (Knuth's MMIX constants)
discarding the first three draws: cols = 1 + floor(8 u), rows = cols +
floor(10 u), then A column after column and b, each 2 u - 1; in the nnls file
A is u - 0.25 and b is u, for answers with several parts. Columns
keep rows >= cols so that the minimiser is unique.
"""
import gzip
import os
import numpy as np
from scipy.optimize import nnls, minimize

here = os.path.dirname(os.path.abspath(__file__))
M = 1 << 64


class Draw:
    def __init__(self, seed):
        self.state = seed
        for _ in range(3):
            self.u()

    def u(self):
        self.state = (self.state * 6364136223846793005 + 1442695040888963407) % M
        return (self.state >> 11) / 2.0**53


def system(seed, shift):
    d = Draw(seed)
    cols = 1 + int(8 * d.u())
    rows = cols + int(10 * d.u())
    a = np.empty((rows, cols))
    for j in range(cols):
        for i in range(rows):
            u = d.u()
            a[i, j] = u - 0.25 if shift else 2 * u - 1
    b = np.array([d.u() if shift else 2 * d.u() - 1 for _ in range(rows)])
    return a, b


def row(seed, x, residual):
    return ",".join([str(seed)] + [repr(float(v)) for v in x] + [repr(float(residual))]) + "\n"


text = "# seed,x...,residual norm; scipy.optimize.nnls\n"
for seed in range(1, 1001):
    a, b = system(seed, True)
    x, residual = nnls(a, b)
    text += row(seed, x, residual)
with gzip.GzipFile(os.path.join(here, "nnls.csv.gz"), "wb", mtime=0) as f:
    f.write(text.encode())

text = "# seed,x...,residual norm; sum x = 1; scipy.optimize SLSQP, polished\n"
for seed in range(5001, 5061):
    a, b = system(seed, False)
    n = a.shape[1]
    s = minimize(
        lambda x: 0.5 * np.sum((a @ x - b) ** 2),
        np.full(n, 1.0 / n),
        jac=lambda x: a.T @ (a @ x - b),
        bounds=[(0, None)] * n,
        constraints={"type": "eq", "fun": lambda x: np.sum(x) - 1, "jac": lambda x: np.ones(n)},
        method="SLSQP",
        options={"ftol": 1e-15, "maxiter": 500},
    )
    on = s.x > 1e-6
    k = int(on.sum())
    kkt = np.zeros((k + 1, k + 1))
    kkt[:k, :k] = a[:, on].T @ a[:, on]
    kkt[:k, k] = kkt[k, :k] = 1
    z = np.linalg.solve(kkt, np.append(a[:, on].T @ b, 1.0))
    x = np.zeros(n)
    x[on] = z[:k]
    assert (x >= 0).all() and np.abs(x - s.x).max() < 1e-5, seed
    w = a.T @ (b - a @ x) - z[k]
    assert w.max() < 1e-9, seed
    text += row(seed, x, np.linalg.norm(a @ x - b))
with open(os.path.join(here, "equality.csv"), "w") as f:
    f.write(text)
