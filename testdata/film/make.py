#!/usr/bin/python3
"""Reference values for blend/film, to 40 digits (Debian python3-mpmath 1.2.1).

    /usr/bin/python3 testdata/film/make.py

layer.csv: Kubelka's own hyperbolic solution (J. Opt. Soc. Am. 38:448, 1948),
    a = 1 + K/S, b = sqrt(a^2 - 1), S and K for the whole film,
    R = (1 - Rg (a - b coth bS)) / (a - Rg + b coth bS)
    T = b / (a sinh bS + b cosh bS)
with its derivatives by differentiating numerically at 40 digits, and the beam
    P = Sf (1 - exp(-2(K+S))) / (2 (K+S)).
The code under test uses other forms, so agreement is not circular.

fresnel.csv: outside diffuse reflectance of a smooth surface by Duntley's
closed form (S. Q. Duntley, J. Opt. Soc. Am. 32:61, 1942; as in Judd 1942).
"""
import os
import mpmath as mp

mp.mp.dps = 60
here = os.path.dirname(os.path.abspath(__file__))


def reflect(k, s, rg):
    a = 1 + k / s
    b = mp.sqrt(a * a - 1)
    c = b * mp.coth(b * s)
    return (1 - rg * (a - c)) / (a - rg + c)


def transmit(k, s):
    a = 1 + k / s
    b = mp.sqrt(a * a - 1)
    return b / (a * mp.sinh(b * s) + b * mp.cosh(b * s))


def beam(k, s):
    x = 2 * (k + s)
    return (1 - mp.exp(-x)) / x


def fmt(x):
    return mp.nstr(x, 20)


rows = ["# K,S,Rg,R,dR/dK,dR/dS,T,P/Sf,d(P/Sf)/dK\n"]
ks = [1e-9, 1e-5, 0.0003, 0.01, 0.05, 0.2, 0.7, 2.0, 9.0, 150.0, 4000.0]
ss = [1e-9, 1e-6, 0.002, 0.03, 0.1, 0.4, 1.0, 3.0, 20.0, 800.0]
h = mp.mpf(10) ** -20
for k in ks:
    for s in ss:
        for rg in [0.0, 0.04, 0.45, 1.0]:
            K, S, G = mp.mpf(k), mp.mpf(s), mp.mpf(rg)
            hk, hs = K * h, S * h
            r = reflect(K, S, G)
            dk = (reflect(K + hk, S, G) - reflect(K - hk, S, G)) / (2 * hk)
            ds = (reflect(K, S + hs, G) - reflect(K, S - hs, G)) / (2 * hs)
            p = beam(K, S)
            dp = (beam(K + hk, S) - beam(K - hk, S)) / (2 * hk)
            rows.append(",".join([repr(k), repr(s), repr(rg)] + [fmt(v) for v in (r, dk, ds, transmit(K, S), p, dp)]) + "\n")
with open(os.path.join(here, "layer.csv"), "w") as f:
    f.writelines(rows)


def duntley(n):
    n = mp.mpf(n)
    return (
        mp.mpf(1) / 2
        + (n - 1) * (3 * n + 1) / (6 * (n + 1) ** 2)
        + n**2 * (n**2 - 1) ** 2 / (n**2 + 1) ** 3 * mp.log((n - 1) / (n + 1))
        - 2 * n**3 * (n**2 + 2 * n - 1) / ((n**2 + 1) * (n**4 - 1))
        + 8 * n**4 * (n**4 + 1) / ((n**2 + 1) * (n**4 - 1) ** 2) * mp.log(n)
    )


with open(os.path.join(here, "fresnel.csv"), "w") as f:
    f.write("# index,outside diffuse reflectance\n")
    for n in ["1.01", "1.1", "1.33", "1.4", "1.45", "1.47", "1.5", "1.6", "2", "2.7"]:
        f.write(n + "," + fmt(duntley(n)) + "\n")
