"""Reference efficiencies of spheres for blend/flake/mie.

The coefficients a_n, b_n are taken straight from spherical Bessel functions of
complex argument (Bohren & Huffman 4.53), with no recurrence of our own:

    /usr/bin/python3 testdata/flake/mie.py > testdata/flake/mie.json

Made with Debian's python3-scipy.
"""
import json
import sys

import numpy as np
from scipy.special import spherical_jn, spherical_yn


def sphere(x, m):
    n = np.arange(1, int(x + 4.05 * x ** (1 / 3) + 2) + 1)
    mx = m * x
    psi, dpsi = x * spherical_jn(n, x), spherical_jn(n, x) + x * spherical_jn(n, x, True)
    h = spherical_jn(n, x) + 1j * spherical_yn(n, x)
    dh = spherical_jn(n, x, True) + 1j * spherical_yn(n, x, True)
    xi, dxi = x * h, h + x * dh
    inner = mx * spherical_jn(n, mx)
    dinner = spherical_jn(n, mx) + mx * spherical_jn(n, mx, True)
    a = (m * inner * dpsi - psi * dinner) / (m * inner * dxi - xi * dinner)
    b = (inner * dpsi - m * psi * dinner) / (inner * dxi - m * xi * dinner)
    ext = 2 / x**2 * ((2 * n + 1) * (a + b).real).sum()
    sca = 2 / x**2 * ((2 * n + 1) * (abs(a) ** 2 + abs(b) ** 2)).sum()
    g = (n[:-1] * (n[:-1] + 2) / (n[:-1] + 1) * (a[:-1] * a[1:].conj() + b[:-1] * b[1:].conj()).real).sum()
    g += ((2 * n + 1) / (n * (n + 1)) * (a * b.conj()).real).sum()
    return ext, sca, 4 / x**2 * g / sca


cases = []
for x in [0.2, 0.7, 1.5, 3.0, 5.2, 9.7, 20.0, 45.0]:
    for m in [1.02 + 0.1j, 1.85 + 0.0j, 2.2 + 0.35j, 1.9 + 0.85j, 1.63 + 0.33j, 0.7 + 0.01j]:
        ext, sca, g = sphere(x, m)
        cases.append(dict(x=x, n=m.real, k=m.imag, ext=ext, sca=sca, g=g))
json.dump(cases, sys.stdout, separators=(",", ":"))
print()
