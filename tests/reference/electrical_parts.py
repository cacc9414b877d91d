"""Drives, parts and pins: makes electrical/drives.json, parts.json and pins.json; see again.py. The switched sink and the
filters of the reference are made by electrical.py.

    python3 tests/reference/electrical_parts.py [--write]

Closed forms, root finding and Lambert's W.
"""
import itertools
import math

import numpy as np
from scipy.optimize import brentq
from scipy.special import lambertw

import again
from light_eyes import lightness, luminance
from mains import FUSES

HEAT = 1.380649e-23 / 1.602176634e-19


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
    model = data["log_model"]
    p = model["params"]
    put(model, "VT_298p15", HEAT * 298.15)
    for r in model["points"]:
        put(r, "V", log_volts(p, r["I"], r["T"]))
        put(r, "r_dyn", p["n"] * HEAT * r["T"] / r["I"] + p["Rs"])
    for r in model["inverse"]:
        put(r, "I", log_current(p, r["V"], r["T"]), rel=1e-12)
    (i1, v1), (i2, v2), (i3, v3) = data["fit3"]["points"]
    vt = HEAT * 298.15
    matrix = [[vt * math.log(i2 / i1), i2 - i1], [vt * math.log(i3 / i1), i3 - i1]]
    put(data["fit3"], "n_Rs", list(np.linalg.solve(matrix, [v2 - v1, v3 - v1])))
    for r in data["ballast"]:
        p, out = r["inp"], r["out"]
        other = p["Rd"] + p["Rb"] + p["Ron"]
        i = (p["Vs"] - p["V0"]) / other
        led = Line(p["V0"], p["Rd"]).volts(i)
        for key, value in (("I", i), ("V_led", led), ("P_R", i * i * p["Rb"]), ("P_led", led * i), ("P_on", i * i * p["Ron"]),
                           ("P_total", p["Vs"] * i), ("eff", led / p["Vs"]), ("sens_Vs", p["Vs"] / (p["Vs"] - p["V0"])),
                           ("dIdT_per_mV", 1e-3 / other)):
            put(out, key, value)
        ends = [(a * p["Vs"] - b * p["V0"]) / (c * p["Rb"] + p["Rd"] + p["Ron"])
                for a, b, c in itertools.product((0.95, 1.05), (0.97, 1.03), (0.95, 1.05))]
        put(r, "corner_lo", min(ends))
        put(r, "corner_hi", max(ends))
        put(r, "corner_ratio_hi", max(ends) / i)
    for r in data["linear_sink"]:
        linear(r["inp"], r["out"], put)
    for r in data["buck_module"]:
        p, out = r["inp"], r["out"]
        volts = Line(p["V0"], p["Rd"]).volts(p["I"])
        power = volts * p["I"]
        for key, value in (("V_out", volts), ("P_out", power), ("P_in", power / p["eta"]), ("I_in", power / p["eta"] / p["Vin"]),
                           ("P_loss", power / p["eta"] - power), ("V_in_min_drop", volts + 2), ("V_in_min_duty", volts / 0.95)):
            put(out, key, value)
    for r in data["parallel"]:
        split = lambda v: [max(0.0, (v - v0) / slope) for v0, slope in zip(r["V0"], r["R"])]
        volts = brentq(lambda v: sum(split(v)) - r["Itot"], min(r["V0"]), 100, xtol=1e-14)
        put(r, "V", volts)
        put(r, "I", split(volts), rel=1e-11)
        put(r, "max_over_mean", max(split(volts)) * len(r["V0"]) / r["Itot"], rel=1e-11)
    for r in data["runaway"]:
        runaway(r["inp"], r["out"], put)
    p = {**data["log_model"]["params"]}
    for r in data["runaway_log"]:
        own = {**p, "kT": -r["kT"]}
        warm = lambda t: 298.15 + r["Rth"] * r["h"] * r["V"] * log_current(own, r["V"], t) - t
        t = brentq(warm, 298.15, 500, xtol=1e-12)
        i, step = log_current(own, r["V"], t), 1e-3
        put(r, "T_j", t - 273.15)
        put(r, "I", i)
        put(r, "I_cold", log_current(own, r["V"], 298.15))
        put(r, "ratio", i / log_current(own, r["V"], 298.15))
        grows = (log_current(own, r["V"], t + step) - log_current(own, r["V"], t - step)) / (2 * step)
        put(r, "G", r["Rth"] * r["h"] * r["V"] * grows, rel=1e-6)
    for r in data["hogging"]:
        hogging(r, put)


def log_volts(p, i, t):
    return p["Vref"] + p["n"] * HEAT * t * math.log(i / p["Iref"]) + p["Rs"] * (i - p["Iref"]) + p["kT"] * (t - 298.15)


def log_current(p, v, t):
    """Lambert's W: w e^w of Rs I by n VT."""
    nvt = p["n"] * HEAT * t
    rest = (v - p["Vref"] - p["kT"] * (t - 298.15) + p["Rs"] * p["Iref"]) / nvt
    return nvt / p["Rs"] * lambertw(p["Rs"] * p["Iref"] / nvt * math.exp(rest)).real


def linear(p, out, put):
    on = 0.05  # ohms of the transistor fully on
    room, branch = p["Vs"] - p["V0"], p["Rd"] + p["Rs"]
    wish, most = p["Vref"] / p["Rs"], room / (branch + on)
    i = max(0.0, min(wish, most))
    put(out, "I_set", wish)
    put(out, "I_sat", most)
    put(out, "I", i)
    put(out, "regulating", wish <= most)
    put(out, "V_ds", room - branch * i)
    put(out, "P_fet", (room - branch * i) * i)
    put(out, "P_sense", p["Rs"] * i * i)
    put(out, "P_led", (p["V0"] + p["Rd"] * i) * i)
    put(out, "headroom", room - branch * i - on * i)
    worst = min(i, room / (2 * branch))
    put(out, "I_worst", worst)
    put(out, "P_fet_worst", (room - branch * worst) * worst)
    put(out, "V_gate_needed_above_vgs", p["Rs"] * i)
    put(out, "P_fet_short_led", p["Vs"] * wish - p["Rs"] * wish**2)


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
        put(out, "T_j", 25 + warmth(i))
        put(out, "ratio", i / cold)
        put(out, "G", gain(i))


def hogging(r, put):
    """Two strings side by side, each warmed by itself alone; `V0` is the mean of both."""
    c, slope = r["kT"] * r["Rth"] * r["h"], r["Rd"] + r["Rb"]
    mean = r["Itot"] / 2
    # A branch at the common voltage: V = V0 - kT warmth + slope I, warmth of the string's own volts.
    branch = lambda v0, i: (v0 + slope * i + c * r["Rb"] * i * i) / (1 + c * i)
    hot = branch(r["V0"], mean)
    gain = c * (hot - 2 * r["Rb"] * mean) / slope
    put(r, "G", gain)
    put(r, "dI_cold", r["dV0"] / slope)
    put(r, "dI_linear", r["dV0"] / slope / (1 - gain))
    half = r["dV0"] / 2
    d = brentq(lambda d: branch(r["V0"] - half, mean + d) - branch(r["V0"] + half, mean - d), 0, mean, xtol=1e-15)
    put(r, "I_hot_hi", mean + d)
    put(r, "I_hot_lo", mean - d)
    put(r, "dI_exact", 2 * d)


def parts(data, put):
    def each(name, make):
        for r in data[name]:
            p = r.get("inp", r)
            for key, value in make(p).items():
                put(r.get("out", r), key, value)

    def sense(p):
        rs = p["Vfs"] / p["I"]
        tau = p["A"] / (2 * math.pi * p["GBW"])
        off = (p["Vosa"] + p["Vosc"] / p["A"]) / rs
        return dict(Rs=rs, P=p["I"] ** 2 * rs, gain=p["Vref"] / p["Vfs"], tau_a=tau, f_a=p["GBW"] / p["A"], lag_A=p["mr"] * tau,
                    t_5tau=5 * tau, SR_ramp=p["A"] * rs * p["mr"], SR_step=p["A"] * rs * p["iv"] / tau, I_off=off,
                    I_floor_VOL=p["VOL"] / (p["A"] * rs), I_min_10pct=10 * off)

    def network(p):
        at = lambda out: (p["Vref"] * p["R2"] + out * p["R1"]) / (p["R1"] + p["R2"])
        high, low = at(p["VOH"]), at(p["VOL"])
        return dict(V_upper=high, V_lower=low, Vh=high - low, centre_shift=(high + low) / 2 - p["Vref"])

    def mosfet(p):
        charge = p["Qgs2"] + p["Qgd"]
        rise, fall = charge * p["Rg"] / (p["Vdrv"] - p["Vpl"]), charge * p["Rg"] / p["Vpl"]
        across = p["Vs"] + p["VD"]
        cond = p["Ron25"] * p["kT"] * p["isw_rms"] ** 2
        edges = across / 2 * (p["iv"] * rise + p["ipk"] * fall) * p["f"]
        own = p["Coss"] * across**2 * p["f"] / 2
        return dict(t_rise=rise, t_fall=fall, P_cond=cond, P_sw=edges, P_oss=own, P_fet=cond + edges + own,
                    P_gate_driver=p["Qg"] * p["Vdrv"] * p["f"], I_gate_avg=p["Qg"] * p["f"],
                    Tj=p["Ta"] + p["RthJA"] * (cond + edges + own))

    def inductor(p):
        on = p["Vs"] - p["V0"] - p["I"] * (p["Rd"] + p["RL"] + p["Ron"] + p["Rs"])
        off = p["V0"] + p["VD"] + p["I"] * (p["Rd"] + p["RL"])
        swing = p["r"] * p["I"]
        rms = math.sqrt(p["I"] ** 2 + swing**2 / 12)
        return dict(V_L_on=on, V_L_off=off, D=off / (on + off), L=on * off / (on + off) / (p["f"] * swing),
                    I_pk=p["I"] + swing / 2, P_dcr=p["RL"] * rms**2, I_rms=rms, Ipp=swing)

    def cin(p):
        d = p["D"]
        rms = math.sqrt(d * (1 - d) * p["I"] ** 2 + d * p["dI"] ** 2 / 12)
        return dict(I_rms=rms, dV_cap=p["I"] * d * (1 - d) / (p["f"] * p["C"]), dV_esr=p["ESR"] * (p["I"] + p["dI"] / 2),
                    P_esr=p["ESR"] * rms**2)

    derate = lambda t: max(0.0, min(1.0, (155 - t) / 85))

    def pick(p):
        power = p["I"] ** 2 * p["R"]
        least = 2 * power / derate(p["Ta"])
        return dict(P=power, derate=derate(p["Ta"]), P_rated_min=least,
                    pick=next(r for r in (0.0625, 0.1, 0.125, 0.25, 0.5, 1, 2, 3, 5) if r >= least))

    each("sense", sense)
    each("hysteresis_net", network)
    each("mosfet", mosfet)
    each("rdson_temp", lambda p: dict(k_power2p3=((p["T_C"] + 273.15) / 298.15) ** 2.3, k_lin_0p6pct=1 + 0.006 * (p["T_C"] - 25)))
    each("avalanche", lambda p: dict(E=(e := p["L"] * p["I"] ** 2 / 2 * p["BV"] / (p["BV"] - p["Vs"])), P=e * p["f"]))
    each("inductor", inductor)
    each("inductor_delay", lambda p: dict(L_min=(p["Vs"] - p["Vled"]) * p["td"] / (p["k"] * p["I"])))
    each("cin", cin)
    each("inrush", lambda p: dict(I_pk=p["V"] / p["R"], I2t=p["C"] * p["V"] ** 2 / (2 * p["R"]), tau=p["R"] * p["C"],
                                  E=p["C"] * p["V"] ** 2 / 2))
    # The fuses stand for the inrush rows in this order; shares of the melting energy for the pulses they are to bear.
    for r, rush, share in zip(data["fuse"], data["inrush"], (0.29, 0.22, 0.29), strict=True):
        least = r["I_op"] / (0.75 * r["k_T"])
        put(r, "I_n_min", least)
        put(r, "I_n", next(n for n in FUSES if n >= least))
        put(r, "I2t_needed", rush["I2t"] / share)
        put(r, "wire_ok", bool(r["I_n"] <= r["I_z"]))
    each("resistor_pick", pick)
    each("derating", lambda p: dict(P_allowed=p["P_rated"] * derate(p["T"])))


def pins(data, put):
    for r in data["pulldown"]:
        still = r["Vth_min"] * r["margin"]
        put(r, "R_max_leak", still / r["I_leak"])
        put(r, "R_max_against_pullup", r["R_pullup"] * still / (r["Vdd"] - still))
        put(r, "R_min_keep_strap_high", 3 * r["R_pullup"])
        put(r, "R_max_keep_strap_low", r["R_pullup"] / 3)
        put(r, "conflict_if_strap_high", bool(r["R_max_against_pullup"] < r["R_min_keep_strap_high"]))
    for r in data["gate_float"]:
        put(r, "tau", r["Ciss"] * r["Rpd"])
        put(r, "t_off_to_0p4", r["Ciss"] * r["Rpd"] * math.log(r["V_on_after"] / 0.4))
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
        put(r, "count_4095", math.floor(4095 * y + 0.5))
        put(r, "count_1023", math.floor(1023 * y + 0.5))
        put(r, "L_back", lightness(y))
    for r in data["cie_levels"]:
        full = 2 ** r["bits"] - 1
        put(r, "distinct_of_256", len({math.floor(full * luminance(100 * k / 255) + 0.5) for k in range(256)}))
        put(r, "L_of_1lsb", lightness(1 / full))
    for r in data["flicker"]:
        f = r["f"]
        put(r, "low_risk_pct", 0.025 * f if f < 90 else 0.08 * f if f <= 1250 else None)
        put(r, "noel_pct", 0.01 * f if f < 90 else f / 30 if f <= 3000 else None)
    for r in data["flicker_rc"]:
        # 5.1 kilohms and 220 nF behind a pin of 3.3 V, in the periodic state.
        x, d = 1 / (r["f"] * 5100 * 220e-9), r["D"]
        top = 3.3 * math.expm1(-d * x) / math.expm1(-x)
        low = top * math.exp(-(1 - d) * x)
        swing = 100 * (top - low) / (top + low)
        put(r, "vmax", top)
        put(r, "vmin", low)
        put(r, "mod_pct", swing)
        put(r, "low_risk_ok", swing <= (0.08 * r["f"] if r["f"] <= 1250 else 100))
        put(r, "noel_ok", swing <= (r["f"] / 30 if r["f"] <= 3000 else 100))
    for r in data["gate_lift"]:
        ramp = r["dVds"] / r["t"]
        put(r, "V", r["Rg"] * r["Cgd"] * ramp * -math.expm1(-r["t"] / (r["Rg"] * r["Ciss"])))


if __name__ == "__main__":
    again.tree("electrical/drives.json", drives)
    again.tree("electrical/parts.json", parts)
    again.tree("electrical/pins.json", pins)
    again.end()
