"""Outlines, plates, fits, sheets and prints: makes the mechanical tables of mains/ and mains/placement.json; see again.py.

    python3 tests/reference/mechanics.py [--write]

Lengths in mm. Outlines by closed formulas and by shapely; clamped plates by Ritz' method with polynomials; the rest by
the formulas that mains/ORIGIN.md names, counted where counting is what they are about.
"""
import math
import re

import numpy as np
from numpy.polynomial import legendre
from scipy.special import ellipe
from shapely.geometry import Point, Polygon, box

import again

G, Q = 9.80665, 4096
# Pa, Poisson, kg/m3.
SHEET = {"PMMA": (3.1e9, 0.37, 1190), "PC": (2.35e9, 0.37, 1200), "glass": (70e9, 0.22, 2500)}
# 1e-6/K.
GROWTH = {"PMMA": 70, "PC": 68, "PLA": 68, "PETG": 60, "ABS": 90, "ASA": 95, "wood_par": 4, "wood_perp": 35, "glass": 9,
          "aluminium": 23.1, "steel": 12}
# g/cm3.
PLASTIC = {"PLA": 1.24, "PETG": 1.27, "ASA": 1.07, "PC": 1.20}


def regular(n, radius):
    return Polygon([(radius * math.cos(2 * math.pi * k / n), radius * math.sin(2 * math.pi * k / n)) for k in range(n)])


def outlines():
    ellipse = [(60 * math.cos(t), 40 * math.sin(t)) for t in np.linspace(0, 2 * math.pi, 4 * Q, endpoint=False)]
    around = 4 * 60 * ellipe(1 - (40 / 60) ** 2)
    tan = math.tan(math.pi / 8)
    shapes = {
        "disc": (math.pi * 1e4, 200 * math.pi, Point(0, 0).buffer(100, quad_segs=Q)),
        "rounded_rect": (120 * 80 - (4 - math.pi) * 100, 400 - (8 - 2 * math.pi) * 10,
                         box(-50, -30, 50, 30).buffer(10, quad_segs=Q)),
        "hexagon": (6 * 75**2 * math.sin(math.pi / 3) / 2, 12 * 75 * 0.5, regular(6, 75)),
        "octagon": (8 * 60**2 * tan, 16 * 60 * tan, regular(8, 60 / math.cos(math.pi / 8))),
        "ellipse": (math.pi * 2400, around, Polygon(ellipse)),
        "slot": (8 * 42 + math.pi * 16, 84 + 8 * math.pi, box(-21, -1e-9, 21, 1e-9).buffer(4, quad_segs=Q)),
        "triangle": (600.0, 120.0, Polygon([(0, 0), (40, 0), (0, 30)])),
    }

    def row(row, put):
        area, perimeter, drawn = shapes[row["shape"]]
        r = row["offset"]
        wide = drawn.buffer(r, quad_segs=Q)
        made = [area, perimeter, area + perimeter * r + math.pi * r * r, perimeter + 2 * math.pi * r]
        # Steiner's law and the library that draws it.
        for formula, counted in zip(made, (drawn.area, drawn.length, wide.area, wide.length)):
            assert abs(formula / counted - 1) < 1e-6, (row, formula, counted)
        for column, value in zip(("area", "perimeter", "area_off", "perim_off"), made):
            put(column, value)

    again.table("mains/outline.csv", row)


def ellipse_perimeter(row, put):
    a, b = float(row["a"]), float(row["b"])
    h = ((a - b) / (a + b)) ** 2
    put("perimeter_exact", 4 * a * ellipe(1 - (b / a) ** 2))
    put("ramanujan2", math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h))))


def chords(row, put):
    put("n", math.ceil(math.pi / math.acos(1 - row["eps"] / row["r"])))


def kerf(row, put):
    k = row["kerf_or_tool"]
    put("path_D_outer", row["part_D"] + k)
    put("path_d_hole", row["hole_d"] - k)
    put("offset", k / 2)


def expansion(row, put):
    put("alpha_1e-6", GROWTH[row["material"]])
    put("delta_mm", GROWTH[row["material"]] * 1e-6 * row["L_mm"] * row["dT"])


def lip(row, put):
    gap = row["seat_max"] - row["disc_min"]
    put("C_max", gap)
    put("overlap_shifted", row["lip_w"] - gap)
    put("overlap_centred", row["lip_w"] - gap / 2)
    put("ok", str(row["lip_w"] - gap >= row["min_overlap"]))


def seat(row, put):
    grow = lambda material, dt: 1 + GROWTH[material] * 1e-6 * dt
    d, td, ts = float(row["D"]), float(row["tD"]), float(row["tS"])
    kd, ks = grow(row["disc"], row["dT_disc"]), grow(row["seat"], row["dT_seat"])
    worst = ((d + td) * kd + row["c_req"]) / ks + ts
    put("S_worst", worst)
    put("S_rss", (d * kd + row["c_req"] + math.hypot(td * kd, ts * ks)) / ks)
    put("S_worst_up_0.05", math.ceil(worst / 0.05 - 1e-9) * 0.05)
    loosest = (worst + ts) * grow(row["seat"], -20) - (d - td) * grow(row["disc"], -20)
    put("max_clear_at_-20K", loosest)
    put("lip_needed_for_1mm_overlap_fully_shifted", loosest + 1)


def stability(row, put):
    tip = math.degrees(math.atan2(row["r_support"], row["h_cog"]))
    put("tip_deg", tip)
    put("ok6", str(tip >= 6))
    put("ok15", str(tip >= 15))


def supported(ratio):
    """Deflection amid a simply supported rectangle by q b^4/D: one series of the long side."""
    total = 0.0
    for m in range(1, 60, 2):
        k = m * math.pi * ratio / 2
        if k > 300:
            total += (-1) ** ((m - 1) // 2) / m**5
            continue
        total += (-1) ** ((m - 1) // 2) / m**5 * (1 - (k * math.tanh(k) + 2) / (2 * math.cosh(k)))
    return 4 / math.pi**5 * total


def clamped(ratio, order=11):
    """The same with edges held, by Ritz: even Legendre polynomials times (1 - x^2)^2 (1 - y^2)^2."""
    points, weights = legendre.leggauss(60)
    lift = np.polynomial.Polynomial([1, 0, -2, 0, 1])
    basis = [lift * legendre.Legendre.basis(2 * n).convert(kind=np.polynomial.Polynomial) for n in range(order)]
    at = lambda derivative: np.array([b.deriv(derivative)(points) if derivative else b(points) for b in basis])
    f, f1, f2 = at(0), at(1), at(2)
    by = lambda a, b: (a * weights) @ b.T
    s00, s22, s02 = by(f, f), by(f2, f2), by(f, f2)
    a, b = ratio / 2, 0.5  # half sides with b = 1
    stiff = np.kron(s22, s00) * b / a**3 + np.kron(s00, s22) * a / b**3 + (np.kron(s02, s02.T) + np.kron(s02.T, s02)) / (a * b)
    load = np.kron(f @ weights, f @ weights) * a * b
    middle = np.array([p(0.0) for p in basis])
    return float(np.kron(middle, middle) @ np.linalg.solve(stiff, load))


def coefficients(row, put):
    put("ss_exact_series", supported(row["ratio"]))
    if not math.isnan(row["clamped"]):
        put("clamped", clamped(row["ratio"]))
        assert abs(clamped(row["ratio"]) / clamped(row["ratio"], order=9) - 1) < 2e-8


def stiffness(material, t_mm):
    e, nu, rho = SHEET[material]
    t = t_mm * 1e-3
    return e * t**3 / (12 * (1 - nu * nu)), rho * G * t, nu, rho


def disc_sag(row, put):
    d, q, nu, rho = stiffness(row["mat"], row["t_mm"])
    a, t = row["dia_mm"] / 2e3, row["t_mm"] * 1e-3
    put("q_Pa", q)
    put("D_Nm", d)
    put("w_ss_mm", 1e3 * (5 + nu) * q * a**4 / (64 * (1 + nu) * d))
    put("w_clamped_mm", 1e3 * q * a**4 / (64 * d))
    put("sigma_ss_MPa", 3 * (3 + nu) * q * a * a / (8 * t * t) / 1e6)
    put("mass_g", 1e3 * rho * math.pi * a * a * t)


def rect_sag(row, put):
    d, q, _, rho = stiffness(row["mat"], row["t_mm"])
    a, b = row["a_mm"] / 1e3, row["b_mm"] / 1e3
    put("ratio", a / b)
    put("coef_ss", supported(a / b))
    put("q_Pa", q)
    put("D_Nm", d)
    put("w_ss_mm", 1e3 * supported(a / b) * q * b**4 / d)
    put("mass_g", 1e3 * rho * a * b * row["t_mm"] * 1e-3)


def floor(x):
    return math.floor(x + 1e-9)


def nesting(row, put):
    pitch, step = row["d"] + row["gap"], math.sqrt(3) / 2
    w, h = (row[side] - 2 * row["margin"] + row["gap"] for side in "WH")
    w, h = w / pitch, h / pitch
    # A row that starts half a pitch in holds floor(x - 1/2); a staggered row is less high than a pitch.
    both = lambda x: (floor(x), max(0, floor(x - 0.5)))

    def packed(w, h, staggered):
        """This many staggered steps, then rows aligned as long as they fit."""
        if h < 1 - 1e-9 or h - 1 - staggered * step < -1e-9:
            return 0
        first, second = both(w)
        rows = staggered + 1
        return first * (math.ceil(rows / 2) + floor(h - 1 - staggered * step)) + second * (rows // 2)

    def hexagonal(w, h):
        if h < 1 - 1e-9:
            return 0
        rows, (first, second) = 1 + floor((h - 1) / step), both(w)
        return first * math.ceil(rows / 2) + second * (rows // 2)

    grid = floor(w) * floor(h)
    hexes = hexagonal(w, h), hexagonal(h, w)
    mixed = max(packed(*side, n) for side in ((w, h), (h, w)) for n in range(0, 200))
    best = max(grid, *hexes, mixed)
    put("grid", grid)
    put("hex_rows_along_W", hexes[0])
    put("hex_rows_along_H", hexes[1])
    put("mixed", mixed)
    put("best", best)
    centres = max(0.0, w - 1), max(0.0, h - 1)
    oler = floor(2 / math.sqrt(3) * centres[0] * centres[1] + sum(centres) + 1) if min(w, h) >= 1 - 1e-9 else 0
    put("oler_upper_bound", oler)
    put("utilisation", best * math.pi / 4 * row["d"] ** 2 / (row["W"] * row["H"]))


def nesting_rect(row, put):
    w, h, gap = row["w"], row["h"], row["gap"]
    wide, high = row["W"] - 2 * row["margin"], row["H"] - 2 * row["margin"]
    fit = lambda length, piece: floor((length + gap) / (piece + gap)) if length > 0 else 0
    count = lambda x, y, a, b: fit(x, a) * fit(y, b)
    best = 0
    for x, y in ((wide, high), (high, wide)):
        for a, b in ((w, h), (h, w)):
            for k in range(fit(x, a) + 1):
                best = max(best, k * fit(y, b) + count(x - k * (a + gap), y, b, a))
    put("one_way", max(count(wide, high, w, h), count(wide, high, h, w)))
    put("one_cut", best)
    put("area_bound", floor(wide * high / (w * h)))


def print_solid(row, put):
    sizes = [float(n) for n in re.findall(r"\d+(?:\.\d+)?", row["param"])]
    if row["shape"] == "box":
        (x, y, z, w), lids = sizes, 2 if "True" in row["param"] else 1
        volume = x * y * z - (x - 2 * w) * (y - 2 * w) * (z - lids * w)
    elif row["shape"] == "cup":
        r, z, w = sizes
        volume = math.pi * (r * r * z - (r - w) ** 2 * (z - w))
    else:
        r, w = sizes
        volume = 4 * math.pi / 3 * (r**3 - (r - w) ** 3)
    put("volume_mm3", volume)
    put("mass_g_100pct", PLASTIC[row["mat"]] * volume / 1e3)
    put("filament_m_1.75", volume / (math.pi / 4 * 1.75**2) / 1e3)
    put("h_at_5mm3s", volume / 5 / 3600)
    put("h_at_10mm3s", volume / 10 / 3600)


def print_infill(row, put):
    shell = min(row["V_mm3"], row["A_mm2"] * row["wall"])
    put("shell_mm3", shell)
    put("mass_g", PLASTIC[row["mat"]] * (shell + row["infill"] * (row["V_mm3"] - shell)) / 1e3)


def placement(data, put):
    for c in data["cyl_in_sphere"]:
        centre, u = np.array(c["c"], float), np.array(c["u"], float)
        along = abs(centre @ u)
        across = math.sqrt(max(0.0, centre @ centre - along * along))
        put(c, "far", math.hypot(along + c["l"], across + c["r"]))
        put(c, "margin", c["R"] - math.hypot(along + c["l"], across + c["r"]))
    for b in data["box_in_sphere"]:
        far = math.sqrt(sum((abs(x) + h) ** 2 for x, h in zip(b["c"], b["h"])))
        put(b, "far", far)
        put(b, "margin", b["R"] - far)
    for pair in data["aabb"]:
        c1, h1, c2, h2 = pair["a"]
        put(pair, "dist", math.hypot(*(max(0.0, abs(p - q) - a - b) for p, q, a, b in zip(c1, c2, h1, h2))))
    for pair in data["vcyl_aabb"]:
        c, r, half, b, h = pair["a"]
        side = math.hypot(*(max(0.0, abs(p - q) - s) for p, q, s in zip(c[:2], b[:2], h[:2])))
        put(pair, "dist", math.hypot(max(0.0, side - r), max(0.0, abs(c[2] - b[2]) - half - h[2])))
    # Straight length and diameters of the bend, which the file does not hold.
    for c, (straight, times) in zip(data["cord_bend"], ((15, 5), (15, 5), (20, 5), (20, 4)), strict=True):
        inner = times * c["od"]
        put(c, "inner_r", inner)
        put(c, "centre_r", inner + c["od"] / 2)
        put(c, "depth_from_wall", straight + inner + c["od"])
        put(c, "side_run", inner + c["od"])


if __name__ == "__main__":
    outlines()
    for name, make in (("ellipse_perimeter", ellipse_perimeter), ("chords_needed", chords), ("kerf", kerf),
                       ("expansion", expansion), ("lip", lip), ("thermalfit", seat), ("stability", stability),
                       ("plate_coef", coefficients), ("disc_sag", disc_sag), ("rect_sag", rect_sag),
                       ("nesting", nesting), ("nesting_rect", nesting_rect), ("print_solid", print_solid),
                       ("print_infill", print_infill)):
        again.table(f"mains/{name}.csv", make)
    again.tree("mains/placement.json", placement)
    again.end()
