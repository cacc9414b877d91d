"""Times SciPy's adaptive integrator on the steady switching cycle that `cargo bench --bench drive` solves exactly.

Run with numpy 2.2.6 and scipy 1.15.3: `python switching.py`. Recorded right after the bench, on one shared 2-core
machine: this integrator 0.95 ms (median), the exact cycle 307 ns, so 3,100 times faster; with a lagging amplifier
2.07 us; fixed steps of 1 ns, compiled, 211 us.
Vector P5-24V-100uH of electrical/switched_sink.json: DOP853, rtol 1e-10, atol 1e-13, events at the trip current,
cycle after cycle from zero current until the valley repeats within 1e-9.
"""
import json
import pathlib
import statistics
import time

import numpy
import scipy
from scipy.integrate import solve_ivp

HERE = pathlib.Path(__file__).parent
VECTORS = json.loads((HERE / "electrical" / "switched_sink.json").read_text())
SET = next(s for s in VECTORS["sets"] if s["name"] == "P5-24V-100uH")
P = SET["params"]
OPTIONS = dict(method="DOP853", rtol=1e-10, atol=1e-13)


def rise(_, y):
    i = y[0]
    drops = (P["Rd"] + P["RL"] + P["Ron"] + P["Rs"]) * i
    return [(P["Vs"] - P["V0"] - drops) / P["L"], i]


def fall(_, y):
    i = y[0]
    drops = (P["Rd"] + P["RL"] + P["RD"]) * i
    return [-(P["V0"] + P["VD0"] + drops) / P["L"], i]


def trips(_, y):
    return y[0] - P["Vref"] / (P["A"] * P["Rs"])


trips.terminal, trips.direction = True, 1


def steady():
    """Mean current of the first cycle whose valley repeats."""
    valley = 0.0
    while True:
        to_trip = solve_ivp(rise, (0, 1e-3), [valley, 0.0], events=trips, **OPTIONS)
        on = solve_ivp(rise, (0, P["td"]), to_trip.y[:, -1], **OPTIONS)
        off = solve_ivp(fall, (0, P["toff"]), on.y[:, -1], **OPTIONS)
        period = to_trip.t[-1] + P["td"] + P["toff"]
        following = off.y[0, -1]
        if abs(following - valley) < 1e-9:
            return off.y[1, -1] / period
        valley = following


if __name__ == "__main__":
    mean, wanted = steady(), SET["result"]["i_avg"]
    assert abs(mean / wanted - 1) < 1e-6, (mean, wanted)
    times = []
    for _ in range(50):
        begin = time.perf_counter()
        steady()
        times.append(time.perf_counter() - begin)
    print(f"numpy {numpy.__version__}, scipy {scipy.__version__}: median {statistics.median(times) * 1e3:.2f} ms, "
          f"least {min(times) * 1e3:.2f} ms")
