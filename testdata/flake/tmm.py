"""Reference values for the thin-film optics of blend/flake.

A different road from the Go one: the whole flake is one list of films and its
reflection is summed film by film with Fresnel coefficients and Airy's
recursion (Born & Wolf, Principles of Optics, 1.6; Heavens, Optical Properties
of Thin Solid Films, ch. 4), starting from the far side. Thickness spreads are
averaged by brute force on fine grids. Dispersion formulas are written out
again here.

    /usr/bin/python3 testdata/flake/tmm.py > testdata/flake/tmm.json

Made with Debian's python3-numpy.
"""
import json
import sys

import numpy as np

nm = np.arange(380.0, 731.0, 10.0)
MICA = 1.58


def rutile():
    l2 = (nm / 1000) ** 2
    no = np.sqrt(5.913 + 0.2441 / (l2 - 0.0803))
    ne = np.sqrt(7.197 + 0.3322 / (l2 - 0.0843))
    return (2 * no + ne) / 3 + 0j


def anatase():
    return np.sqrt(5.59434 + 0.160906 / ((nm / 1000) ** 2 - 0.083569)) + 0j


def hematite():
    e = 1239.841984 / nm
    eps = 3.48928 + 0j * e
    for f, e0, g in [
        (-0.54114, 2.14431, 0.57884),
        (0.26265, 2.23123, 0.31919),
        (3.00000, 3.04299, 1.40146),
        (-0.41198, 1.75136, 0.91047),
        (1.10415, 4.28360, 0.43963),
    ]:
        eps = eps + f * e0**2 / (e0**2 - e**2 - 1j * g * e)
    n = np.sqrt(eps)
    share = np.interp(nm, [500, 540, 565, 585], [1, 0.8329, 0.7152, 0.2185])
    return n.real + 1j * share * n.imag


def silica():
    return np.sqrt(2.09610 + 0.010877 / ((nm / 1000) ** 2 + 0.006969)) + 0j


INDEX = {"rutile": rutile, "anatase": anatase, "hematite": hematite, "silica": silica}


def mixed(n, binder, share):
    """Bruggeman's mixture by the roots of its quadratic, 2e^2 - be - e1e2 = 0."""
    if share == 1:
        return n
    out = []
    for z in n:
        e1, e2 = z * z, binder**2
        b = (3 * share - 1) * e1 + (2 - 3 * share) * e2
        roots = np.roots([2, -b, -e1 * e2])
        out.append(np.sqrt(max(roots, key=lambda r: r.real) + 0j))
    return np.array(out)


def airy(indices, thicknesses, binder, theta):
    """R and T, unpolarised, of films between two half-spaces of binder.

    indices: list of arrays over wavelength; thicknesses in nm may be arrays
    that broadcast against (wavelength, ...).
    """
    beta = binder * np.sin(np.deg2rad(theta))
    ns = [np.full(len(nm), binder) + 0j] + indices + [np.full(len(nm), binder) + 0j]
    cosines = [np.sqrt(1 - (beta / n) ** 2) for n in ns]
    total = []
    for s_light in (True, False):
        def fresnel(i, j):
            a, b = (ns[i] * cosines[i], ns[j] * cosines[j]) if s_light else (ns[j] * cosines[i], ns[i] * cosines[j])
            two = 2 * ns[i] * cosines[i]
            return (a - b) / (a + b), two / (a + b)

        last = len(ns) - 1
        r, t = (x[:, None] for x in fresnel(last - 1, last))
        for i in range(last - 2, -1, -1):
            rij, tij = (x[:, None] for x in fresnel(i, i + 1))
            phase = np.exp(1j * (2 * np.pi / nm * ns[i + 1] * cosines[i + 1])[:, None] * thicknesses[i])
            down = 1 + rij * r * phase**2
            r, t = (rij + r * phase**2) / down, tij * t * phase / down
        total.append((abs(r) ** 2, abs(t) ** 2))
    (rs, ts), (rp, tp) = total
    return (rs + rp) / 2, (ts + tp) / 2


def flake(layers, theta, substrate=400.0, spread=0.0, coat_spread=0.0, binder=1.47, packing=1.0):
    inner = [(mixed(INDEX[m](), binder, packing), t) for m, t in layers]
    ns = [n for n, _ in inner[::-1]] + [np.full(len(nm), MICA) + 0j] + [n for n, _ in inner]
    if spread:
        # Grazing light makes sharp fringes; they want a finer grid.
        x = np.linspace(-9, 9, 1801 if theta < 60 else 80001)
        w = np.exp(-x * x / 2)
    else:
        x, w = np.zeros(1), np.ones(1)
    w = w / w.sum()
    if coat_spread:
        s = np.sqrt(np.log1p(coat_spread**2))
        y = np.linspace(-8, 8, 161)
        v = np.exp(-y * y / 2)
        scale = np.exp(s * y - s * s / 2)
    else:
        v, scale = np.ones(1), np.ones(1)
    v = v / v.sum()
    r, t = np.zeros(len(nm)), np.zeros(len(nm))
    for k, weight in zip(scale, v):
        coats = [np.array([d * k]) for _, d in inner]
        ts = coats[::-1] + [substrate + spread * x] + coats
        ri, ti = airy(ns, ts, binder, theta)
        r += weight * (ri @ w)
        t += weight * (ti @ w)
    return r, t


CASES = [
    dict(layers=[], theta=0),
    dict(layers=[], theta=70, spread=60),
    dict(layers=[["rutile", 75]], theta=0),
    dict(layers=[["rutile", 120]], theta=28.7, substrate=523),
    dict(layers=[["rutile", 120]], theta=85, spread=100),
    dict(layers=[["rutile", 95]], theta=42, spread=100, packing=0.85),
    dict(layers=[["hematite", 42]], theta=30),
    dict(layers=[["hematite", 65]], theta=60, spread=100, binder=1.33),
    dict(layers=[["hematite", 300]], theta=10, spread=30, packing=0.7),
    dict(layers=[["rutile", 75], ["hematite", 20]], theta=24.32, spread=100),
    dict(layers=[["anatase", 60], ["silica", 110], ["anatase", 60]], theta=50, spread=40),
    dict(layers=[["silica", 300], ["rutile", 60]], theta=88, spread=80),
    dict(layers=[["rutile", 75]], theta=15, spread=100, coat_spread=0.05),
    dict(layers=[["hematite", 50]], theta=35, spread=100, coat_spread=0.1),
]

json.dump(
    [dict(c, r=list(r), t=list(t)) for c in CASES for r, t in [flake(**c)]],
    sys.stdout,
    indent=None,
    separators=(",", ":"),
)
print()
