"""Colour: makes light/vectors_color.json, vectors_cct.json, vectors_mix.json and the colours of vectors_final.json and
vectors_extra.json; see again.py.

    python3 tests/reference/light_colour.py [--write]

Levels are found by scipy's linprog (HiGHS); columns named after the open colour library come from colour-science.
"""
import math
import warnings

import numpy as np
from scipy.optimize import brentq, linprog
from scipy.spatial import ConvexHull

import again
from light_sums import (CHANNELS, COARSE, FINE, blue_light, blue_of, blue_of_die, blue_of_white, columns, correlated, die, dominant, efficacy,
                        from_uniform, light_of, phosphor_white, spectrum_of, uniform, uv, white, xy)

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour

OBSERVER = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(colour.SpectralShape(360, 830, 1))


def library(t, c2=1.4388e-2):
    """The library's black body on its own table by 1 nm."""
    nm = OBSERVER.wavelengths
    body = (nm / 560) ** -5.0 / np.expm1(c2 / (nm * 1e-9 * t))
    return xy(OBSERVER.values.T @ body)


def colours(data, put):
    table = columns("cie_illuminants_5nm.csv")
    for name, row in data["illuminants"].items():
        watts = table[name]
        total = COARSE.tristimulus(watts)
        put(row, "xy", list(xy(total)))
        put(row, "LER", efficacy(watts, watts=5 * watts.sum()))
        put(row, "K_Bv_mW_per_lm", blue_light(watts), rel=1e-7)
        for observer, tag in ((COARSE, "5nm"), (FINE, "1nm")):
            t, duv = correlated(xy(total), observer)
            put(row, f"CCT_{tag}locus", t, rel=5e-8)
            put(row, f"Duv_{tag}", duv, allowed=1e-8)
    for row in data["planck_xy"]:
        put(row, "xy_5nm_380_780", list(COARSE.locus(row["T"])))
        put(row, "xy_1nm_360_830", list(FINE.locus(row["T"])))
        put(row, "colour", list(library(row["T"])), rel=1e-8)
    for row in data["leds"]:
        for observer, tag in ((COARSE, "5nm"), (FINE, "1nm")):
            density = die(row["peak"], row["fwhm"], observer.nm)
            put(row, f"LER_{tag}", efficacy(density, observer))
            at = xy(observer.tristimulus(density))
            put(row, f"xy_{tag}", list(at))
            nm, purity = dominant(at, observer)
            put(row, f"dominant_E_{tag}", nm)
            if tag == "5nm":
                put(row, "purity", purity)
                found = colour.dominant_wavelength(at, np.array([1 / 3, 1 / 3]))[0]
                put(row, "dominant_E_colour", float(found), allowed=1.0)
        put(row, "K_Bv_mW_per_lm", blue_of_die(row["peak"], row["fwhm"]), rel=5e-7)


def temperatures(data, put):
    for row in data["vectors"]:
        at = [float(v) for v in row["xy"]]
        put(row, "uv1960", list(uv(at)))
        put(row, "upvp", list(uniform(at)))
        for tag, observer in (("exact1", FINE), ("exact5", COARSE)):
            t, duv = correlated(at, observer)
            put(row, f"CCT_{tag}", t, rel=2e-8)
            put(row, f"Duv_{tag}", duv, allowed=1e-8)
        put(row, "CCT_newton1", correlated(at, FINE)[0], rel=1e-7)
        put(row, "CCT_exact1_c2SI", correlated(at, FINE, 1.438776877e-2)[0], rel=2e-8)
        t, duv = colour.temperature.uv_to_CCT_Ohno2013(uv(at), OBSERVER)
        put(row, "CCT_Ohno_colour", float(t), rel=1e-6)
        put(row, "Duv_Ohno_colour", float(duv), allowed=1e-8)
        t, duv = colour.temperature.uv_to_CCT_Robertson1968(uv(at))
        put(row, "CCT_Robertson_colour", float(t), rel=1e-6)
        put(row, "Duv_Robertson_colour", float(duv), allowed=1e-8)
        n = (at[0] - 0.3320) / (at[1] - 0.1858)
        put(row, "CCT_McCamy", -449 * n**3 + 3525 * n**2 - 6823.3 * n + 5520.33)
    for row in data["ansi"]:
        t = row["T"]
        put(row, "Duv", 57700 / t**2 - 44.6 / t + 0.00854 if t >= 2870 else 0.0)
    for row in data["cct_duv_to_xy"]:
        t, duv = row["CCT"], row["Duv"]
        put(row, "xy_1nm", list(white(t, duv, FINE)))
        put(row, "xy_5nm", list(white(t, duv)))
        found = colour.temperature.CCT_to_uv_Ohno2013(np.array([t, duv]), OBSERVER)
        put(row, "xy_colour", list(colour.UCS_uv_to_xy(found)), rel=3e-8)
        put(row, "roundtrip5", list(correlated(white(t, duv))), rel=1e-6, allowed=2e-3)


def levels(keys, at, cap=None, flux=None, lights=None):
    """Most flux, or least power for this flux: levels, flux, power; nothing where it cannot be."""
    lights = [light_of(key) for key in keys] if lights is None else lights
    power = np.array([CHANNELS[key][3] for key in keys])
    off = np.array([[x - at[0] * (x + y + z), y - at[1] * (x + y + z)] for x, y, z in lights]).T
    lumens = np.array([y for _, y, _ in lights])
    equal, right = (off, [0, 0]) if flux is None else (np.vstack([off, lumens]), [0, 0, flux])
    scale = np.abs(equal).max(axis=1)
    goal = -lumens if flux is None else power
    upper = dict(A_ub=[power], b_ub=[cap]) if cap is not None else {}
    found = linprog(goal, A_eq=equal / scale[:, None], b_eq=np.array(right) / scale, bounds=(0, 1), method="highs",
                    options=dict(primal_feasibility_tolerance=1e-10, dual_feasibility_tolerance=1e-10), **upper)
    if found.status != 0 or lumens @ found.x < 1e-9:
        return None
    return found.x, float(lumens @ found.x), float(power @ found.x)


def aim(target):
    return COARSE.locus(float(target[1:]))


def mixes(data, put):
    for row in data["white_model"]["vectors"]:
        at = white(row["CCT"], row["Duv"])
        shares, density = phosphor_white(at)
        put(row, "a_blue_green_red", list(shares), rel=1e-8)
        put(row, "xy", list(at))
        put(row, "LER", efficacy(density))
        put(row, "K_Bv_mW_lm", blue_of_white(shares), rel=3e-8)
    table = columns("cie_illuminants_5nm.csv")
    for row in data["white_model"]["cie_led_b_check"]:
        watts = table[row["name"]]
        shares, density = phosphor_white(xy(COARSE.tristimulus(watts)))
        put(row, "LER_model", efficacy(density))
        put(row, "LER_CIE", efficacy(watts, watts=5 * watts.sum()))
        put(row, "K_Bv_model", blue_of_white(shares), rel=1e-8)
        put(row, "K_Bv_CIE", blue_light(watts))
        put(row, "blue_frac", shares[0])
    for key, row in data["channels"].items():
        for name, value in zip("XYZ", light_of(key)):
            put(row, name, value)
        put(row, "xy", list(xy(light_of(key))))
        put(row, "radiant_W", CHANNELS[key][2])
        put(row, "P_W", CHANNELS[key][3])
    for row in data["mix_vectors"]:
        at = aim(row["target"]) if row["target"][1:].isdigit() else np.array(row["xy"], float)
        put(row, "xy", list(at))
        found = levels(row["channels"], at, row["power_cap_W"], row["flux_lm"])
        put(row, "status", "ok" if found else "infeasible")
        if not found:
            continue
        drive, flux, power = found
        for name in ("drive", "scipy_drive"):
            put(row, name, list(drive), allowed=1e-8)
        for name, value in (("flux_lm_out", flux), ("scipy_flux", flux), ("power_W", power), ("scipy_power", power)):
            put(row, name, value, rel=3e-9)
        total = sum(d * light_of(key) for d, key in zip(drive, row["channels"]))
        put(row, "xy_check", list(xy(total)), allowed=1e-8)
    warm, cool = light_of("W"), light_of("C")
    for row in data["two_channel_tunable"]:
        # The share of cool at which the mix has this colour temperature.
        mixed = lambda s: xy(s * cool + (1 - s) * warm)
        share = brentq(lambda s: correlated(mixed(s))[0] - row["CCT"], 0.0, 1.0, xtol=1e-12)
        put(row, "frac_cool", share, allowed=2e-7)
        put(row, "xy", list(mixed(share)), allowed=2e-8)
        put(row, "Duv", correlated(mixed(share))[1], allowed=2e-8)


def hull(keys):
    points = np.array([uniform(xy(light_of(key))) for key in keys])
    return points, ConvexHull(points)


def nearest(corners, at):
    """Closest point of a polygon's edge."""
    best = None
    for a, b in zip(corners, np.roll(corners, -1, axis=0)):
        t = min(1.0, max(0.0, float((at - a) @ (b - a) / ((b - a) @ (b - a)))))
        point = a + t * (b - a)
        far = math.hypot(*(at - point))
        if best is None or far < best[0] - 1e-15:
            best = far, point
    return best


def final(data, put):
    for row in data["white_model_valid_CCT"]:
        good = [t for t in range(1600, 12001, 50) if phosphor_white(white(t, row["Duv"]))[0].min() >= 0]
        put(row, "CCT_min", min(good))
        put(row, "CCT_max", max(good))
    for row in data["white_model_blue_peak"]:
        shares, density = phosphor_white(COARSE.locus(row["CCT"]), float(row["blue_peak"]))
        put(row, "a", list(shares), rel=1e-8)
        put(row, "LER", efficacy(density))
        put(row, "K_Bv_mW_lm", blue_of_white(shares, float(row["blue_peak"])), rel=1e-8)
    for row in data["gamut"]:
        points, shape = hull(row["channels"])
        corners = points[shape.vertices]
        put(row, "hull_size", len(corners))
        for test in row["tests"]:
            # Thirds are stored to nine digits; the distance is that of the digits.
            at = uniform([float(v) for v in test["xy"]])
            inside = bool((shape.equations[:, :2] @ at + shape.equations[:, 2] <= 1e-12).all())
            put(test, "upvp", list(at), rel=3e-9)
            put(test, "inside", inside)
            far, point = nearest(corners, at)
            put(test, "boundary_dist_upvp", far, allowed=3e-10)
            if not inside:
                put(test, "nearest_upvp", list(point), rel=3e-9)
                put(test, "nearest_xy", list(from_uniform(point)), rel=3e-9)
    for row in data["K_Bv_of_mixes"]:
        named = {"aqua": (0.2, 0.35), "pink": (0.4, 0.28), "amber": (0.55, 0.43), "viol": (0.22, 0.12), "E": (1 / 3, 1 / 3)}
        at = named[row["target"]] if row["target"] in named else aim(row["target"])
        drive, flux, _ = levels(row["channels"], at, row["power_cap_W"], row["flux_lm"])
        blue = sum(d * light_of(k)[1] * blue_of(k) for d, k in zip(drive, row["channels"]))
        put(row, "K_Bv_mW_lm", blue / flux, rel=1e-7)
    # Change of peak in nm/K, fading temperature in K, and whether its factor is of lumens.
    fading = {"R": (0.13, 95.0, True), "A": (0.10, 95.0, True), "G": (0.035, 295.0, False), "B": (0.04, 1600.0, False),
              "W": (0.0, 570.0, True), "C": (0.0, 570.0, True)}

    def hot(key, t):
        slope, fade, by_lumens = fading[key]
        density, left = spectrum_of(key, slope * (t - 25)), math.exp(-(t - 25) / fade)
        total = COARSE.tristimulus(density)
        return total * (light_of(key)[1] / total[1] * left if by_lumens else CHANNELS[key][2] * left)

    for row in data["warmup_hot_solved"]:
        lights = [hot(key, row["T_hot"]) for key in row["channels"]]
        drive, flux, _ = levels(row["channels"], aim(row["target"]), lights=lights)
        cold = sum(d * light_of(k) for d, k in zip(drive, row["channels"]))
        put(row, "drive", list(drive), allowed=1e-8)
        put(row, "flux_hot", flux, rel=1e-8)
        put(row, "flux_cold_over_hot", cold[1] / flux, rel=1e-8)
        put(row, "xy_cold", list(xy(cold)), rel=3e-9)
        put(row, "delta_upvp_cold", math.hypot(*(uniform(xy(cold)) - uniform(aim(row["target"])))), allowed=1e-7)
        t, duv = correlated(xy(cold))
        put(row, "CCT_cold", t, rel=1e-7)
        put(row, "Duv_cold", duv, allowed=1e-7)


def extra(data, put):
    for row in data["dominant_taken_as_peak"]:
        nm, fwhm = row["declared"], row["fwhm"]
        peak = brentq(lambda p: dominant(xy(COARSE.tristimulus(die(p, fwhm))))[0] - nm, nm - 20, nm + 45, xtol=1e-10)
        put(row, "true_peak", peak, allowed=6e-6)
        put(row, "LER_if_taken_as_peak", efficacy(die(nm, fwhm)))
        put(row, "LER_true", efficacy(die(peak, fwhm)), rel=1e-7)
        put(row, "ratio", efficacy(die(nm, fwhm)) / efficacy(die(peak, fwhm)), rel=1e-7)
    lines = COARSE.xyz * 683.0
    for row in data["LER_max"]:
        at = [float(v) for v in row["xy"]]
        total = lines.sum(axis=0)
        equal = np.array([lines[0] - at[0] * total, lines[1] - at[1] * total, np.ones(len(total))])
        found = linprog(-lines[1], A_eq=equal, b_eq=[0, 0, 1], method="highs")
        put(row, "LER_max", -found.fun, rel=3e-8)
    for row in data["edge_of_gamut"]:
        points, shape = hull(row["channels"])
        point = from_uniform(nearest(points[shape.vertices], uniform([float(v) for v in row["wanted"]]))[1])
        put(row, "nearest_xy", list(point))
        # On the edge only its two ends, or its one, can shine.
        drive, flux, power = edge(row["channels"], points, shape, point)
        put(row, "drive", list(drive), allowed=1e-8)
        put(row, "flux", flux, rel=1e-7)
        put(row, "power", power, rel=1e-7)
    for row in data["two_channel"]:
        at = np.array([float(v) for v in row["xy"]])
        first, second = (light_of(key) for key in row["channels"])
        power = [CHANNELS[key][3] for key in row["channels"]]
        # Rows of the two that cancel at this chromaticity.
        off = lambda xyz: max(((xyz[0] - at[0] * sum(xyz)), (xyz[1] - at[1] * sum(xyz))), key=abs)
        ratio = abs(off(first) / off(second))
        drive = np.array([1.0, ratio]) / max(1.0, ratio)
        watts, lumens = drive @ power, drive @ [first[1], second[1]]
        if row["power_cap"] is not None:
            drive = drive * min(1.0, row["power_cap"] / watts)
        if row["flux"] is not None:
            drive = drive * row["flux"] / lumens
        put(row, "drive", list(drive), allowed=1e-8)
        put(row, "flux_out", drive @ [first[1], second[1]], rel=1e-8)
        put(row, "power", drive @ power, rel=1e-8)


def edge(keys, points, shape, at):
    """Most flux at a point of the gamut's edge: by one corner, or by the two that the point lies between."""
    power = [CHANNELS[key][3] for key in keys]
    target = uniform(at)
    for n in shape.vertices:
        if math.hypot(*(points[n] - target)) < 1e-9:
            drive = np.eye(len(keys))[n]
            return drive, light_of(keys[n])[1], power[n]
    for a, b in shape.simplices:
        cross = (points[b] - points[a])[0] * (target - points[a])[1] - (points[b] - points[a])[1] * (target - points[a])[0]
        if abs(cross) < 1e-9 and (target - points[a]) @ (target - points[b]) < 0:
            rows = [[xyz[0] - at[0] * sum(xyz), xyz[1] - at[1] * sum(xyz)] for xyz in (light_of(keys[a]), light_of(keys[b]))]
            k = 0 if abs(rows[0][0]) + abs(rows[1][0]) > abs(rows[0][1]) + abs(rows[1][1]) else 1
            ratio = abs(rows[0][k] / rows[1][k])
            drive = np.zeros(len(keys))
            drive[a], drive[b] = np.array([1.0, ratio]) / max(1.0, ratio)
            lumens = np.array([light_of(key)[1] for key in keys])
            return drive, drive @ lumens, drive @ power
    raise AssertionError(at)


if __name__ == "__main__":
    again.tree("light/vectors_color.json", colours)
    again.tree("light/vectors_cct.json", temperatures)
    again.tree("light/vectors_mix.json", mixes)
    again.tree("light/vectors_final.json", final)
    again.tree("light/vectors_extra.json", extra)
    again.end()
