"""Preferred values and tolerances: makes electrical/preferred.json, preferred_long.csv, preferred_wide.csv and
tolerance.json; see again.py.

    python3 tests/reference/electrical_values.py [--write]

Brute force over all values, slopes by differences, order statistics of a seeded public generator. Codes and bands of
IEC 60062 are written by hand in their files.
"""
import bisect
import itertools
import math

import numpy as np
from scipy.optimize import brentq

import again

COARSE = [10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91]


def series(name):
    """Mantissas from 1 to 10 of IEC 60063."""
    n = int(name[1:])
    if n <= 24:
        return [v / 10 for v in COARSE[:: 24 // n]]
    # The one value of E192 that its rounding would make 9.19.
    return [9.2 if (n, i) == (192, 185) else round(10 ** (i / n), 2) for i in range(n)]


def decades(name, low=-3, high=8):
    return [float(f"{m}e{d}") for d in range(low, high) for m in series(name)]


def preferred(data, put):
    for r in data["nearest"]:
        values, x = decades(r["series"]), float(r["x"])
        k = bisect.bisect_right(values, x * (1 + 1e-12)) - 1
        down = values[k]
        up = down if math.isclose(down, x, rel_tol=1e-12) else values[k + 1]
        put(r, "down", down)
        put(r, "up", up)
        # Near by ratio.
        put(r, "nearest", min((down, up), key=lambda v: abs(math.log(v / x))))
    for r in data["gain"]:
        near = [v for v in decades(r["series"]) if 1e3 <= v <= 1e5]
        # By ratio; of equal ones that whose sum is nearest to 22 kilohms.
        off = lambda p: (round(abs(math.log((1 + p[0] / p[1]) / r["target"])), 9), abs(math.log((p[0] + p[1]) / 22e3)))
        ranked = sorted(((rf, rg) for rf in near for rg in near), key=off)
        for best, (rf, rg) in zip(r["best"], ranked):
            put(best, "rf", rf)
            put(best, "rg", rg)
            put(best, "gain", 1 + rf / rg)
            put(best, "err", (1 + rf / rg) / r["target"] - 1, allowed=1e-15)


def tables():
    def long(row, put):
        name, k = row["series"], int(row["index"])
        exact = 10 ** (k / int(name[1:]))
        put("mantissa_1_to_10", series(name)[k])
        put("exact_10^(i/n)", exact)
        put("rounding_exception", int(round(exact, 1 if int(name[1:]) <= 24 else 2) != series(name)[k]))

    again.table("electrical/preferred_long.csv", long)
    count = itertools.count()

    def wide(row, put):
        k = next(count)
        for name, stored in row.items():
            if stored != "":
                put(name, series(name)[k])

    again.table("electrical/preferred_wide.csv", wide)


def splitmix(seed, count):
    """The public 64-bit generator, all outputs at once."""
    with np.errstate(over="ignore"):
        z = np.uint64(seed) + np.arange(1, count + 1, dtype=np.uint64) * np.uint64(0x9E3779B97F4A7C15)
        z = (z ^ (z >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
        z = (z ^ (z >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
        return z ^ (z >> np.uint64(31))


def unit(outputs):
    return (outputs >> np.uint64(11)).astype(float) * 2.0**-53


def spread(halves, x):
    """P(sum <= x) of rectangular inputs of these half-widths: corners of their box with alternating signs."""
    n = len(halves)
    total = 0.0
    for signs in itertools.product((-1, 1), repeat=n):
        reach = x + sum(s * h for s, h in zip(signs, halves))
        total += math.prod(signs) * max(reach, 0.0) ** n
    return total / (math.factorial(n) * math.prod(2 * h for h in halves))


def tolerance(data, put):
    nominal, half = np.array(data["nominal"], float), np.array(data["half_width"], float)

    def current(v, d):
        vdd, rf, rg, rs, vosa, vosc = v
        return (vdd * d - vosc) / ((1 + rf / rg) * rs) - vosa / rs

    for r in data["cases"]:
        d = float(r["D"])
        sens = []
        for k in range(6):
            step = np.zeros(6)
            step[k] = 1e-3 * (half[k] or 1.0)
            # Twice extrapolated: a central difference free of its second-order error.
            slope = lambda s: (current(nominal + s * step, d) - current(nominal - s * step, d)) / (2 * s * step[k])
            sens.append((4 * slope(0.5) - slope(1.0)) / 3)
        shares = np.array(sens) * half
        put(r, "contrib", list(shares), rel=1e-8)
        put(r, "rss_of_tolerances", math.sqrt((shares**2).sum()), rel=1e-8)
        draws = 2 * unit(splitmix(42, 600_000)).reshape(-1, 6) - 1
        found = current((nominal + draws * half).T, d)
        put(r, "first_sample", list(nominal + draws[0] * half), rel=1e-12)
        put(r, "first_I", found[0])
        mc, ordered = r["mc"], np.sort(found)
        put(mc, "min", ordered[0])
        put(mc, "max", ordered[-1])
        for key, share in (("q0p1", 0.001), ("q2p5", 0.025), ("q50", 0.5), ("q97p5", 0.975), ("q99p9", 0.999)):
            put(mc, key, ordered[min(len(ordered) - 1, math.ceil(share * len(ordered)) - 1)], rel=2e-5)
    j, root = data["jcgm101"], math.sqrt(3)
    equal, uneven = [root] * 4, [root] * 3 + [10 * root]
    half_of = lambda halves: brentq(lambda x: spread(halves, x) - 0.975, 0, sum(halves), xtol=1e-12)
    put(j, "c9_2_3_exact", half_of(equal), rel=1e-8)
    put(j, "c9_2_3_closed_form", 2 * root * (2 - (3 / 5) ** 0.25), rel=1e-8)
    put(j, "c9_2_4_exact", half_of(uneven), rel=1e-8)
    put(j, "c9_2_4_GUF", 1.959963984540054 * math.sqrt(103))
    m = j["mc_9_2_3"]
    sums = ((2 * unit(splitmix(m["seed"], 4 * m["N"])) - 1) * root).reshape(-1, 4).sum(axis=1)
    ordered = np.sort(sums)
    put(m, "lo", ordered[round(0.025 * m["N"]) - 1], allowed=2e-4)
    put(m, "hi", ordered[round(0.975 * m["N"]) - 1], allowed=2e-4)
    for k, value in enumerate(splitmix(data["splitmix64"]["seed"], 5)):
        put(data["splitmix64"]["first5"], k, int(value))


if __name__ == "__main__":
    again.tree("electrical/preferred.json", preferred)
    tables()
    again.tree("electrical/tolerance.json", tolerance)
    again.end()
