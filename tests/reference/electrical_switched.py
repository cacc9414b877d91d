"""Cycles of the switched sink that electrical.py does not integrate: makes the curves, floors, amplifiers, recipe
and dummy loads of electrical/switched_sink.json, and the rest of filter.json; see again.py.

    python3 tests/reference/electrical_switched.py [--write]

Each stretch is a linear system moved on by SciPy's matrix exponential, its end found by root finding, and the valley that
repeats by secants: another way than the closed forms of the program and than the integration of electrical.py.
"""
import math

import numpy as np
from scipy.linalg import expm
from scipy.optimize import brentq, minimize_scalar

import again


class Sink:
    """State: current, output of the amplifier, charge, 1. Time in microseconds, charge in ampere microseconds."""

    def __init__(self, p, tau=None):
        us = 1e-6
        # By parts: a supply that drives, resistances that hold back, the amplifier that follows the sense resistor.
        r_on, r_off = p["Rd"] + p["RL"] + p["Ron"] + p["Rs"], p["Rd"] + p["RL"] + p["RD"]
        lag = 0.0 if tau is None else us / tau
        self.p, self.tau = p, tau
        self.on = np.array([[-r_on / p["L"] * us, 0, 0, (p["Vs"] - p["V0"]) / p["L"] * us],
                            [p["A"] * p["Rs"] * lag, -lag, 0, 0], [1, 0, 0, 0], [0, 0, 0, 0.0]])
        self.off = np.array([[-r_off / p["L"] * us, 0, 0, -(p["V0"] + p["VD0"]) / p["L"] * us],
                             [0, -lag, 0, 0], [1, 0, 0, 0], [0, 0, 0, 0.0]])
        self.dark = np.array([[0, 0, 0, 0], [0, -lag, 0, 0], [0, 0, 0, 0], [0, 0, 0, 0.0]])

    @staticmethod
    def until(matrix, state, level, row, most):
        """Time at which this row of the state reaches the level."""
        at = lambda t: (expm(matrix * t) @ state)[row] - level
        step = most / 4096
        while (at(step) > 0) == (at(0.0) > 0):
            step *= 2
            if step > 64 * most:
                return math.inf
        return brentq(at, 0.0, step, xtol=1e-15, rtol=1e-15)

    def fall(self, state, time):
        """Off for this long; the current stays at nothing once it is there."""
        if state[0] <= 0:
            return expm(self.dark * time) @ state
        zero = self.until(self.off, state, 0.0, 0, 10.0)
        if zero >= time:
            return expm(self.off * time) @ state
        state = expm(self.off * zero) @ state
        state[0] = 0.0
        return expm(self.dark * (time - zero)) @ state

    def peak(self, valley, td, toff):
        """Trip, delay, fixed off time: state at the top, state at the end, times on and off, charge while on."""
        trip = self.p["Vref"] / (self.p["A"] * self.p["Rs"])
        state = np.array([valley, 0.0, 0.0, 1.0])
        on = td + (self.until(self.on, state, trip, 0, 100.0) if valley < trip else 0.0)
        top = expm(self.on * on) @ state
        return top, self.fall(top, toff), on, toff

    def chopped(self, valley, upper, lower, td_off, td_on):
        """The amplifier sees the sense resistor while the switch is on; its output is at the lower level when it closes."""
        state = np.array([valley, lower * math.exp(-td_on * 1e-6 / self.tau), 0.0, 1.0])
        on = td_off + self.until(self.on, state, upper, 1, 10.0)
        top = expm(self.on * on) @ state
        back = math.log(top[1] / lower) * self.tau * 1e6
        return top, self.fall(top, back + td_on), on, back + td_on

    def steady(self, cycle):
        """The cycle whose valley repeats, and its figures."""
        adds = lambda i: cycle(i)[1][0] - i
        a, b = 0.0, max(cycle(0.0)[1][0], 1e-9)
        at_a, at_b = adds(a), adds(b)
        for _ in range(60):
            if abs(at_b) < 1e-15 or at_a == at_b:
                break
            # A secant on what a cycle adds; where cycles alone would creep it steps to the end.
            following = max(0.0, b - at_b * (b - a) / (at_b - at_a))
            if abs(following - b) < 1e-15:
                break
            a, at_a, b, at_b = b, at_b, following, adds(following)
        top, end, on, off = cycle(b)
        period = on + off
        return dict(peak=top[0], valley=end[0], mean=end[2] / period, switch=top[2] / period, f=1e6 / period, duty=on / period,
                    on=on, off=off, period=period)


def stage(inductance, winding, reference, load=(5.6, 3.0)):
    return dict(Vs=12.0, V0=load[0], Rd=load[1], L=inductance, RL=winding, Ron=0.08, Rs=1.0, VD0=0.4, RD=0.0, A=11.0, Vref=reference)


def fixed(p, td, toff):
    sink = Sink(p)
    return sink.steady(lambda i: sink.peak(i, 1e6 * td, 1e6 * toff))


def lagging(p, tau, td_off, td_on, band=0.0):
    sink = Sink(p, tau)
    return sink.steady(lambda i: sink.chopped(i, p["Vref"] + band / 2, p["Vref"] - band / 2, 1e6 * td_off, 1e6 * td_on))


def switched(data, put):
    slow = lambda gain_bandwidth: 11 / (2 * math.pi * gain_bandwidth)
    for x in data["sets"]:
        if x["mode"] == "amp":
            p, r = x["params"], x["result"]
            found = lagging(p, p["ta"], p["td_off"], p["td_on"], p["Vh"])
            for key, value in (("i_peak", "peak"), ("i_valley", "valley"), ("i_avg", "mean"), ("i_sw_avg", "switch"), ("f", "f"),
                               ("duty", "duty")):
                put(r, key, found[value], rel=1e-10)
        elif "delay-bound" in x["result"].get("regime", ""):
            p = x["params"]
            found = fixed(p, p["td"], p["toff"])
            put(x["result"], "i_peak", found["peak"], rel=1e-10)
            put(x["result"], "i_valley", found["valley"], rel=1e-10)
    peaks = {"peak_fast_10u": (10e-6, 0.15, 60e-9, 120e-9), "peak_slow_10u": (10e-6, 0.15, 1.3e-6, 1.3e-6),
             "peak_220u_toff2u": (220e-6, 0.4, 80e-9, 2e-6)}
    lags = {"amp10M_10u": (10e-6, 0.15, slow(10e6), 70e-9, 70e-9), "amp10M_100u": (100e-6, 0.15, slow(10e6), 70e-9, 70e-9),
            "amp50M_220u_toff2u_equiv": (220e-6, 0.4, slow(50e6), 80e-9, 2e-6)}
    for name, rows in data["curves"].items():
        for row in rows:
            if name in peaks:
                inductance, winding, td, toff = peaks[name]
                found = fixed(stage(inductance, winding, row[0]), td, toff)
            else:
                inductance, winding, tau, td_off, td_on = lags[name]
                found = lagging(stage(inductance, winding, row[0]), tau, td_off, td_on)
            for column, key in enumerate(("mean", "peak", "valley", "f", "switch", "duty"), 1):
                put(row, column, found[key], rel=1e-10)
    for row, (inductance, winding, td, toff) in zip(data["floor"], peaks.values(), strict=True):
        found = fixed(stage(inductance, winding, 1e-9), td, toff)
        put(row, "i_peak", found["peak"], rel=1e-10)
        put(row, "i_avg", found["mean"], rel=1e-10)
    for row in data["averaging"]:
        tau = slow(row["gbw"])
        found = lagging(stage(100e-6, 0.15, 1.0), tau, 70e-9, 70e-9)
        put(row, "ta", tau)
        put(row, "i_avg", found["mean"], rel=1e-10)
        put(row, "i_sw_avg", found["switch"], rel=1e-10)
        put(row, "f", found["f"], rel=1e-10)
        put(row, "inv_D", 1 / found["duty"], rel=1e-10)
        put(row, "over", found["mean"] / row["i_set"], rel=1e-10)
    for row in data["constant_off_amplifier"]:
        tau = slow(row["gbw"])
        # Two microseconds from the closed loop of the amplifier's fall to the next pulse.
        found = lagging(stage(220e-6, 0.4, 1.0), tau, 80e-9, 2e-6)
        put(row, "ta", tau)
        put(row, "i_peak", found["peak"], rel=2e-9)
    band = next(x for x in data["sets"] if x["name"] == "A4-24V-100uH-amp")["params"]
    for row in data["band_without_effect"]:
        found = lagging(band, row["ta"], 100e-9, 100e-9, row["Vh"])
        put(row, "ripple", found["peak"] - found["valley"], rel=1e-9)
        put(row, "i_avg", found["mean"], rel=1e-10)
        put(row, "f", found["f"], rel=1e-9)
        put(row, "ripple_if_it_worked", row["Vh"] / (band["A"] * band["Rs"]))
    row = data["discontinuous"]
    p = row["params"]
    found = fixed(p, p["td"], p["toff"])
    put(row["exact"], "i_peak", found["peak"], rel=1e-10)
    put(row["exact"], "i_avg", found["mean"], rel=1e-10)
    put(row["exact"], "t_on", 1e-6 * found["on"], rel=1e-10)
    for row in data["recipe"]:
        recipe(row, put)
    for row in data["dummy_load"]:
        if row["duty"] > 0:
            found = fixed(stage(220e-6, 0.4, 3.3 * row["duty"], load=(0.0, row["R_dummy"])), 80e-9, 2e-6)
            put(row, "I_avg", found["mean"], rel=1e-10)
            put(row, "I_peak", found["peak"], rel=1e-10)
            put(row, "f", found["f"], rel=1e-10)
            put(row, "V_sense_dmm", found["switch"], rel=1e-10)


def recipe(row, put):
    p = row["inp"]
    up = p["Vs"] - p["V0"] - (p["Rd"] + p["RL"] + p["Ron"] + p["Rs"]) * p["I"]
    down = p["V0"] + p["VD"] + (p["Rd"] + p["RL"]) * p["I"]
    duty = down / (up + down)
    toff = (1 - duty) / p["f"]
    inductance = down * toff / (p["r"] * p["I"])
    trip = p["I"] * (1 + p["r"] / 2) - up / inductance * p["td"]
    for key, value in (("D", duty), ("t_off", toff), ("L", inductance), ("I_trip", trip), ("Vsense_trip", trip * p["Rs"])):
        put(row, key, value)
    found = fixed(dict(p, L=inductance, VD0=p["VD"], RD=0.0, A=1.0, Vref=trip * p["Rs"]), p["td"], toff)
    for key, value in (("i_avg", "mean"), ("i_peak", "peak"), ("f", "f")):
        put(row["exact"], key, found[value], rel=1e-10)
    put(row["exact"], "ripple_pp", found["peak"] - found["valley"], rel=1e-9)


def filters(data, put):
    for r in data["first_order"]:
        load = math.inf if r["RL"] is None else float(r["RL"])
        k = 1.0 if math.isinf(load) else load / (load + r["R"] + r["Ro"])
        tau = (r["R"] + r["Ro"]) * k * r["C"]
        put(r, "k", k)
        put(r, "tau", tau)
        put(r, "ripple_worst_D50", k * (r["VH"] - r["VL"]) * math.tanh(1 / (4 * r["f"] * tau)))
        put(r, "fc", 1 / (2 * math.pi * tau))
    for r in data["second_order"]:
        second(r, put)
    for r in data["settling"]:
        put(r, "in_tau", math.log(2 ** r["bits"] / r["N_lsb"]))
        put(r, "t1", r["tau"] * math.log(2 ** r["bits"] / r["N_lsb"]))
    for r in data["design"]:
        share = r["ripple_lsb"] / 2 ** r["bits"]
        tau = 1 / (4 * r["f_pwm"] * math.atanh(share))
        put(r, "f_pwm", r["f_clk"] / 2 ** r["bits"])
        put(r, "tau_min", tau)
        put(r, "t_settle", tau * math.log(2 ** r["bits"] / r["settle_lsb"]))
        put(r, "ts_periods", tau * math.log(2 ** r["bits"] / r["settle_lsb"]) * r["f_pwm"])
    r = data["published_check"]
    k = 4 * math.atanh(0.25 / 2**8)
    put(r, "k", k)
    put(r, "periods", math.log(4) / k)


def second(r, put):
    """Two sections in a row, the second loading the first."""
    load = 0.0 if r["RL"] is None else 1 / r["RL"]
    r1, us = r["R1"] + r["Ro"], 1e-6
    a = np.array([[-(1 / r1 + 1 / r["R2"]) / r["C1"], 1 / (r["R2"] * r["C1"])],
                  [1 / (r["R2"] * r["C2"]), -(1 / r["R2"] + load) / r["C2"]]])
    taus = sorted(-1 / np.linalg.eigvals(a).real, reverse=True)
    put(r, "tau1", taus[0], rel=1e-11)
    put(r, "tau2", taus[1], rel=1e-11)
    matrix = lambda level: us * np.block([[a, np.array([[level / (r1 * r["C1"])], [0.0]])], [np.zeros((1, 3))]])
    period = 1e6 / r["f"]
    high, low = matrix(r["VH"]), matrix(0.0)
    whole = expm(low * (1 - r["D"]) * period) @ expm(high * r["D"] * period)
    start = np.append(np.linalg.solve(np.eye(2) - whole[:2, :2], whole[:2, 2]), 1.0)
    middle = expm(high * r["D"] * period) @ start
    least = lambda m, s, most, sign: sign * minimize_scalar(lambda t: sign * (expm(m * t) @ s)[1], bounds=(0, most), method="bounded",
                                                            options=dict(xatol=1e-10)).fun
    bottom, top = least(high, start, r["D"] * period, 1), least(low, middle, (1 - r["D"]) * period, -1)
    put(r, "expm_vmin", bottom, rel=1e-10)
    put(r, "expm_vmax", top, rel=1e-10)
    put(r, "ripple_pp", top - bottom, allowed=1e-11)


if __name__ == "__main__":
    again.tree("electrical/switched_sink.json", switched)
    again.tree("electrical/filter.json", filters)
    again.end()
