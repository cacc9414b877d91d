"""Recomputes the stored electrical vectors by brute-force integration, independent of the crate.

    pip install numpy==2.2.6 scipy==1.15.3
    python3 tests/reference/electrical.py            # compares, prints the worst deviation, exits 1 above 1e-9

Reads the parameters in electrical/switched_sink.json and electrical/filter.json, integrates them with SciPy's DOP853
(rtol 3e-14, event functions, time in microseconds so that the event finder's absolute tolerance does not bite) until
the cycle repeats, and compares with the figures stored there. The tests read the stored figures only.
"""
import json
import math
import pathlib
import sys

import numpy as np
from scipy.integrate import solve_ivp

HERE = pathlib.Path(__file__).parent / "electrical"
US = 1e-6


def integrate(slope, y0, until, event=None, direction=0):
    """State after `until` microseconds, or at the event; time in microseconds."""
    if event is not None:
        event.terminal, event.direction = True, direction
    s = solve_ivp(slope, (0.0, until), y0, method="DOP853", rtol=3e-14, atol=1e-16, events=event)
    hit = event is not None and len(s.t_events[0]) > 0
    return (s.t_events[0][0], s.y_events[0][0]) if hit else (s.t[-1], s.y[:, -1])


class Sink:
    def __init__(self, p):
        self.p = p
        self.r_on = p["Rd"] + p["RL"] + p["Ron"] + p["Rs"]
        self.r_off = p["Rd"] + p["RL"] + p["RD"]

    def on(self, _, y):
        return [(self.p["Vs"] - self.p["V0"] - self.r_on * y[0]) / self.p["L"] * US]

    def off(self, _, y):
        return [-(self.p["V0"] + self.p["VD0"] + self.r_off * y[0]) / self.p["L"] * US]

    def rise(self, i, level, delay):
        t1, y = (0.0, np.array([i])) if i >= level else integrate(self.on, [i], 1e6, lambda _, y: y[0] - level, 1)
        t2, y = integrate(self.on, y, delay / US) if delay > 0 else (0.0, y)
        return (t1 + t2) * US, y[0]

    def fall(self, i, seconds):
        if seconds <= 0:
            return i
        t, y = integrate(self.off, [i], seconds / US, lambda _, y: y[0], -1)
        return 0.0 if t * US < seconds * (1 - 1e-12) else max(0.0, y[0])

    def peak(self):
        """Trip, delay, fixed off time: peak, valley, period."""
        p = self.p
        trip = p["Vref"] / (p["A"] * p["Rs"])
        i = 0.0
        for _ in range(400):
            t_on, top = self.rise(i, trip, p["td"])
            i, before = self.fall(top, p["toff"]), i
            if abs(i - before) < 1e-15:
                break
        return top, i, t_on + p["toff"]


def worst(found, stored):
    return max(abs(f - s) / max(abs(s), 1e-6) for f, s in zip(found, stored))


def switched():
    out = {}
    for case in json.loads((HERE / "switched_sink.json").read_text())["sets"]:
        stored = case["result"]
        if case["mode"] != "peak" or "i_peak" not in stored or stored.get("regime") == "never-trips":
            continue
        # The delay-bound sets creep: their cycle settles over thousands of periods, so they are left to the closed form.
        if "delay-bound" in stored["regime"]:
            continue
        sink = Sink(case["params"])
        found = sink.peak()
        if stored["i_valley"] == 0.0:  # the switch waits at zero current: compare peak only with valley
            found, target = found[:2], (stored["i_peak"], stored["i_valley"])
        else:
            target = (stored["i_peak"], stored["i_valley"], stored["T"])
        out[case["name"]] = worst(found, target)
    return out


def filters():
    out = {}
    for n, v in enumerate(json.loads((HERE / "filter.json").read_text())["first_order"]):
        load = math.inf if v["RL"] is None else v["RL"]
        k = 1.0 if math.isinf(load) else load / (load + v["R"] + v["Ro"])
        tau = v["tau"]
        period, u = 1 / v["f"], v["VL"]
        high = lambda _, y: [(k * v["VH"] - y[0]) / tau * US]
        low = lambda _, y: [(k * v["VL"] - y[0]) / tau * US]
        u = k * (v["VL"] + v["D"] * (v["VH"] - v["VL"]))
        for _ in range(int(60 * max(1.0, tau / period))):
            _, top = integrate(high, [u], v["D"] * period / US)
            _, bottom = integrate(low, top, (1 - v["D"]) * period / US)
            if abs(bottom[0] - u) < 1e-15:
                break
            u = bottom[0]
        out[f"first order {n}"] = worst((top[0], bottom[0]), (v["vmax"], v["vmin"]))
    return out


if __name__ == "__main__":
    deviations = {**switched(), **filters()}
    for name, d in deviations.items():
        print(f"{name:24} {d:.1e}")
    print(f"worst of {len(deviations)}: {max(deviations.values()):.1e}")
    sys.exit(int(max(deviations.values()) > 1e-9))
