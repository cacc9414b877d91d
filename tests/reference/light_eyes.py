"""Dimming, flicker and blue light: makes light/lightness.csv, vectors_dim.json and the rest of vectors_final.json and
vectors_extra.json; see again.py.

    python3 tests/reference/light_eyes.py [--write]

Flicker by closed form and by two million samples; the stroboscopic measure by its harmonics; groups by IEC 62471:2006.
"""
import math

import numpy as np
from scipy.optimize import brentq

import again
from light_sums import COARSE, blue_of_die, blue_of_white, die, efficacy, phosphor_white

SAMPLES = 2_000_000


def luminance(lightness):
    return ((lightness + 16) / 116) ** 3 if lightness > 8 else lightness * 27 / 24389


def lightness(y):
    return 116 * y ** (1 / 3) - 16 if y > 216 / 24389 else y * 24389 / 27


def lightnesses(row, put):
    put("Y", luminance(row["Lstar"]))


def first_fit(f):
    """Threshold of CIE TN 006:2016."""
    return 1 / (1 + math.exp(-0.00518 * (f - 306.6))) + 20 * math.exp(-f / 10)


def second_fit(f):
    """Threshold of J. Opt. Soc. Am. A 35 (2018) 309."""
    return 2.865e-5 * f**1.543 + 0.225


def stroboscopic(tones, fit):
    return sum((c / fit(f)) ** 3.7 for f, c in tones if 80 <= f <= 2000) ** (1 / 3.7)


def wave(row):
    """One period of light, sampled."""
    t = (np.arange(SAMPLES) + 0.5) / SAMPLES
    name, m = row["name"], row.get("m", 1.0)
    if name.startswith("pwm"):
        return np.where(t < row["D"], 1.0, row.get("b", 0.0))
    if name == "sine":
        return 1 + m * np.cos(2 * np.pi * t)
    if name == "rectified_sine":
        return np.abs(np.sin(np.pi * t))
    return 1 + m * (2 * t - 1) if name.startswith("sawtooth") else 1 + m * (1 - 4 * np.abs(t - 0.5))


def harmonics(row):
    """Frequency and amplitude by the mean of what a light of this name swings with."""
    f, name = row["f"], row["name"]
    if name == "sine":
        return [(f, row["m"])]
    count = range(1, 200)
    if name == "pwm":
        return [(k * f, 2 * abs(math.sin(math.pi * k * row["D"])) / (math.pi * k * row["D"])) for k in count]
    return [(k * f, 2 / (4 * k * k - 1)) for k in count]


def dimming(data, put):
    for row in data["ieee1789"]:
        f = row["f"]
        put(row, "low_risk_pct", min(100.0, 0.025 * f if f < 90 else 0.08 * f if f <= 1250 else 100.0))
        put(row, "noel_pct", min(100.0, 0.01 * f if f < 90 else f / 30 if f <= 3000 else 100.0))
    for row in data["flicker"]:
        light = wave(row)
        least, most, mean = light.min(), light.max(), light.mean()
        put(row, "percent_flicker", 100 * (most - least) / (most + least), rel=2e-6)
        put(row, "flicker_index", np.clip(light - mean, 0, None).mean() / mean, rel=2e-6)
    for row in data["svm"]:
        put(row, "SVM_TN006", stroboscopic(harmonics(row), first_fit))
        put(row, "SVM_Perz2018", stroboscopic(harmonics(row), second_fit))
    for row in data["svm_T"]:
        put(row, "T_TN006", first_fit(row["f"]))
        put(row, "T_Perz2018", second_fit(row["f"]))
    for row in data["staggered"]:
        t = (np.arange(SAMPLES) + 0.5) / SAMPLES
        light = sum(full * (((t - phase) % 1) < duty) for full, duty, phase in map(lambda c: map(float, c), row["channels"]))
        spectrum = 2 * np.abs(np.fft.rfft(light)[:50]) / light.sum()
        put(row, "C1", spectrum[1], allowed=2e-6)
        tones = [(k * row["f"], spectrum[k]) for k in range(1, 50)]
        put(row, "SVM_TN006", stroboscopic(tones, first_fit), allowed=2e-5)
    widths = {632: 18.0, 592: 16.0, 520: 33.0, 455: 20.0}
    for row in data["wavelength_shift"]:
        peak, width = row["peak"], widths[row["peak"]]
        put(row, "LER_ratio", efficacy(die(peak + row["nm_per_K"] * row["dT"], width)) / efficacy(die(peak, width)))


def blue_of(name):
    if name.startswith("white"):
        return blue_of_white(phosphor_white(COARSE.locus(float(name[5:])))[0])
    peak, width = name.strip("abcdefghijklmnopqrstuvwxyz").split("/")
    return blue_of_die(float(peak), float(width))


FIELDS = (("L_B_100mrad", 100e-3), ("L_B_11mrad", 11e-3), ("L_B_1p7mrad", 1.7e-3))
LIMITS = (100.0, 1e4, 4e6)


def averaged(radiance, angle):
    return [radiance * min(1.0, (angle / field) ** 2) for _, field in FIELDS]


def group(means):
    return next((n for n, (mean, limit) in enumerate(zip(means, LIMITS)) if mean <= limit), 3)


def screened(row, put):
    """A disc, looked at from 200 mm and from where it gives 500 lx."""
    blue = blue_of(row["spectrum"]) / 1e3
    light, r = float(row["L_v"]), row["diam_mm"] / 2e3
    lux = lambda d: math.pi * light * r * r / (r * r + d * d)
    radiance, d = blue * light, 0.2
    angle = 2 * r / d
    means = averaged(radiance, angle)
    digits = 1e-8  # luminance and diameter are given to nine digits
    put(row, "K_Bv_mW_lm", 1e3 * blue, rel=digits)
    put(row, "alpha_mrad", 1e3 * angle, rel=digits)
    put(row, "L_B_true", radiance, rel=digits)
    for (key, _), mean in zip(FIELDS, means):
        put(row, key, mean, rel=2e-8)
    put(row, "E_lx", lux(d), rel=2e-8)
    put(row, "E_B_W_m2", blue * lux(d), rel=2e-8)
    put(row, "E_thr_lx_if_RG2", 1 / blue, rel=digits)
    found = group(means)
    if angle < 11e-3:
        # The rule of small sources, by irradiance: the worse of both counts.
        small = 1 if blue * lux(d) <= 1 else 2 if blue * lux(d) <= 400 else 3
        found = max(found, small if small > 1 else 0)
    put(row, "group", f"RG{found}")
    # Doses: 1e6 J/m2 sr over the field that the time allows.
    first = 1e6 / means[1]
    until = min(1e4, (angle / 1.1e-3) ** 2)
    longest = first if first <= 100 else None if angle <= 11e-3 else 1e6 / radiance if 1e6 / radiance <= until else None
    put(row, "t_max_s", longest, rel=2e-8)
    if "d_thr_m" in row:
        put(row, "d_thr_m", brentq(lambda d: blue * lux(d) - 1, 1e-3, 100, xtol=1e-13), rel=2e-8)
    far = brentq(lambda d: lux(d) - 500, 1e-3, 100, xtol=1e-13) if lux(0.2) > 500 else 0.2
    put(row, "d500_m", far, rel=2e-8)
    put(row, "E_at_d500", 500.0 if far > 0.2 else lux(0.2), rel=2e-8)
    put(row, "alpha500_mrad", 2e3 * r / far, rel=2e-8)
    means = averaged(radiance, 2 * r / far)
    put(row, "L_B_100mrad_500lx", means[0], rel=4e-8)
    put(row, "L_B_11mrad_500lx", means[1], rel=4e-8)
    put(row, "group_500lx", f"RG{group(means)}".replace("RG2", "RG2+"))


def final(data, put):
    for row in data["blue_vectors"]:
        screened(row, put)


def extra(data, put):
    for row in data["svm_allowed_sine_modulation_for_0p4"]:
        for key, fit in (("fit_a", first_fit), ("fit_b", second_fit)):
            put(row, key, min(1.0, 0.4 * fit(row["f"])))


if __name__ == "__main__":
    again.table("light/lightness.csv", lightnesses)
    again.tree("light/vectors_dim.json", dimming)
    again.tree("light/vectors_final.json", final)
    again.tree("light/vectors_extra.json", extra)
    again.end()
