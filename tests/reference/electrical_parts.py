"""Drives, parts and pins: makes electrical/drives.json, parts.json and pins.json; see again.py. The switched sink and the
filters of the reference are made by electrical.py.

    python3 tests/reference/electrical_parts.py [--write]

Closed forms and root finding.
"""
import math

import numpy as np
from scipy.optimize import brentq

import again
from light_eyes import lightness, luminance
from mains import FUSES


class Line:
    """A string as a straight line."""

    def __init__(self, v0, rd):
        self.v0, self.rd = v0, rd

    def volts(self, i):
        return self.v0 + self.rd * i


def drives(data, put):
    for r in data["linear_two_point"]:
        slope = (r["V2"] - r["V1"]) / (r["I2"] - r["I1"])
        put(r, "Rd", slope)
        put(r, "V0", r["V1"] - slope * r["I1"])
    for r in data["ballast"]:
        p, out = r["inp"], r["out"]
        other = p["Rd"] + p["Rb"] + p["Ron"]
        i = (p["Vs"] - p["V0"]) / other
        led = Line(p["V0"], p["Rd"]).volts(i)
        for key, value in (("I", i), ("V_led", led), ("P_R", i * i * p["Rb"]), ("P_led", led * i), ("P_on", i * i * p["Ron"]),
                           ("P_total", p["Vs"] * i)):
            put(out, key, value)
    for r in data["linear_sink"]:
        linear(r["inp"], r["out"], put)
    for r in data["buck_module"]:
        p, out = r["inp"], r["out"]
        volts = Line(p["V0"], p["Rd"]).volts(p["I"])
        power = volts * p["I"]
        for key, value in (("V_out", volts), ("P_out", power), ("P_in", power / p["eta"]),
                           ("P_loss", power / p["eta"] - power)):
            put(out, key, value)
    for r in data["parallel"]:
        split = lambda v: [max(0.0, (v - v0) / slope) for v0, slope in zip(r["V0"], r["R"])]
        volts = brentq(lambda v: sum(split(v)) - r["Itot"], min(r["V0"]), 100, xtol=1e-14)
        put(r, "I", split(volts), rel=1e-11)
    for r in data["runaway"]:
        runaway(r["inp"], r["out"], put)


def linear(p, out, put):
    on = 0.05  # ohms of the transistor fully on
    room, branch = p["Vs"] - p["V0"], p["Rd"] + p["Rs"]
    wish, most = p["Vref"] / p["Rs"], room / (branch + on)
    i = max(0.0, min(wish, most))
    put(out, "I_set", wish)
    put(out, "I_sat", most)
    put(out, "I", i)
    worst = min(i, room / (2 * branch))
    put(out, "P_fet_worst", (room - branch * worst) * worst)


def runaway(p, out, put):
    around = p["Rext"] + p["Rd"]
    cold = (p["Vs"] - p["V0"]) / around
    gain = lambda i: p["Rth"] * p["h"] * (p["Vs"] - 2 * p["Rext"] * i) * p["kT"] / around
    put(out, "I_cold", cold)
    put(out, "G_cold", gain(cold))
    # The string's own heat lowers its offset: where both agree.
    warmth = lambda i: p["Rth"] * p["h"] * (p["Vs"] - p["Rext"] * i) * i
    off = lambda i: (p["Vs"] - p["V0"] + p["kT"] * warmth(i)) / around - i
    steps = np.linspace(cold, 100 * cold, 20000)
    cross = next((k for k in range(1, len(steps)) if off(steps[k]) < 0), None)
    put(out, "stable", cross is not None)
    if cross:
        i = brentq(off, steps[cross - 1], steps[cross], xtol=1e-15)
        put(out, "I_hot", i)
        put(out, "ratio", i / cold)
        put(out, "G", gain(i))


def parts(data, put):
    def each(name, make):
        for r in data[name]:
            p = r.get("inp", r)
            for key, value in make(p).items():
                put(r.get("out", r), key, value)

    def sense(p):
        rs = p["Vfs"] / p["I"]
        tau = p["A"] / (2 * math.pi * p["GBW"])
        return dict(Rs=rs, P=p["I"] ** 2 * rs, gain=p["Vref"] / p["Vfs"], tau_a=tau)

    def mosfet(p):
        charge = p["Qgs2"] + p["Qgd"]
        rise, fall = charge * p["Rg"] / (p["Vdrv"] - p["Vpl"]), charge * p["Rg"] / p["Vpl"]
        across = p["Vs"] + p["VD"]
        return dict(t_rise=rise, t_fall=fall, P_sw=across / 2 * (p["iv"] * rise + p["ipk"] * fall) * p["f"])

    derate = lambda t: max(0.0, min(1.0, (155 - t) / 85))

    def pick(p):
        power = p["I"] ** 2 * p["R"]
        least = 2 * power / derate(p["Ta"])
        return dict(P=power, derate=derate(p["Ta"]), P_rated_min=least,
                    pick=next(r for r in (0.0625, 0.1, 0.125, 0.25, 0.5, 1, 2, 3, 5) if r >= least))

    each("sense", sense)
    each("mosfet", mosfet)
    each("rdson_temp", lambda p: dict(k_lin_0p6pct=1 + 0.006 * (p["T_C"] - 25)))
    for r in data["fuse"]:
        least = r["I_op"] / (0.75 * r["k_T"])
        put(r, "I_n_min", least)
        put(r, "I_n", next(n for n in FUSES if n >= least))
    each("resistor_pick", pick)
    each("derating", lambda p: dict(P_allowed=p["P_rated"] * derate(p["T"])))


def pins(data, put):
    for r in data["pulldown"]:
        put(r, "R_min_keep_strap_high", 3 * r["R_pullup"])
        put(r, "R_max_keep_strap_low", r["R_pullup"] / 3)
    for r in data["pwm_res"]:
        counts = r["f_clk"] / r["f_pwm"]
        put(r, "counts", math.floor(counts))
        put(r, "bits", math.log2(counts))
        put(r, "bits_floor", math.floor(math.log2(counts)))
        put(r, "t_lsb", 1 / r["f_clk"])
    for r in data["cie"]:
        y = luminance(r["L"])
        put(r, "Y", y)
        put(r, "gamma22", (r["L"] / 100) ** 2.2)
        put(r, "gamma28", (r["L"] / 100) ** 2.8)
        put(r, "L_back", lightness(y))
    for r in data["flicker"]:
        f = r["f"]
        put(r, "low_risk_pct", 0.025 * f if f < 90 else 0.08 * f if f <= 1250 else None)
        put(r, "noel_pct", 0.01 * f if f < 90 else f / 30 if f <= 3000 else None)


if __name__ == "__main__":
    again.tree("electrical/drives.json", drives)
    again.tree("electrical/parts.json", parts)
    again.tree("electrical/pins.json", pins)
    again.end()
