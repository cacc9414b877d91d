"""Light on plates and faces: makes light/disc.csv, rect.csv, rect_off_axis.csv, captured_rect.csv, vectors_near.json,
vectors_cavity.json, vectors_slab_mtf.json, and the fields of vectors_final.json and vectors_extra.json; see again.py.

    python3 tests/reference/light_field.py [--write]

Scipy's Bessel functions, double integrals, and simulations by rays and photons with fixed seeds.
"""
import json
import math

import numpy as np
from scipy.integrate import dblquad
from scipy.special import gamma, j1, kv

import again

PI = math.pi


def remainder(nu, z):
    """2^(1-nu)/Gamma(nu) z^nu K_nu(z): what distance leaves of a pattern."""
    return 1.0 if z == 0 else 2 ** (1 - nu) / gamma(nu) * z**nu * kv(nu, z)


def corner(a, b, h):
    """Form factor from a point to a rectangle whose corner stands opposite it."""
    p, q = a / h, b / h
    u, v = math.sqrt(1 + p * p), math.sqrt(1 + q * q)
    return (p / u * math.atan(q / u) + q / v * math.atan(p / v)) / (2 * PI)


def rectangle(luminance, x0, x1, y0, y1, h, px, py):
    f = lambda x, y: corner(x - px, y - py, h)
    return PI * luminance * (f(x1, y1) - f(x0, y1) - f(x1, y0) + f(x0, y0))


def by_integral(luminance, x0, x1, y0, y1, h, px, py):
    point = lambda y, x: h * h / ((x - px) ** 2 + (y - py) ** 2 + h * h) ** 2
    return luminance * dblquad(point, x0, x1, y0, y1, epsabs=1e-13, epsrel=1e-11)[0]


def disc(row, put):
    light, r, d, a = (float(row[c]) for c in ("L_cd_m2", "R_m", "d_m", "offset_m"))
    exact = PI * light / 2 * (1 - (d * d + a * a - r * r) / math.sqrt((d * d + a * a + r * r) ** 2 - 4 * a * a * r * r))
    counted = light * dblquad(lambda s, t: s * d * d / (s * s + a * a - 2 * s * a * math.cos(t) + d * d) ** 2, 0, 2 * PI, 0, r,
                              epsabs=1e-13, epsrel=1e-11)[0]
    point = PI * r * r * light * d * d / (d * d + a * a) ** 2
    put("E_exact_lx", exact)
    put("E_quad_lx", counted)
    put("E_point_cos4_lx", point)
    put("rel_err_point", point / exact - 1, allowed=1e-6)


def rect(row, put):
    a, b = float(row["half_w"]), float(row["half_h"])
    put("E_axis", rectangle(float(row["L"]), -a, a, -b, b, float(row["d"]), 0, 0))


def rect_off_axis(row, put):
    given = (float(row["L"]), *json.loads(row["rect"]), float(row["h"]), *json.loads(row["p"]))
    put("E", rectangle(*given))
    put("quad", by_integral(*given))


def captured(row, put):
    put("centre_lambertian_fraction", 4 * corner(float(row["half_w"]), float(row["half_h"]), float(row["h"])))


def near(data, put):
    for row in data["infinite_arrays"]:
        put(row, "square_first_harm", 4 * remainder((row["m"] + 1) / 2, 2 * PI * row["h_over_p"]))
    for row in data["blur"]:
        k = 2 * PI / row["pitch"]
        g = remainder(1.0, k * row["h"])
        a, t = k * row["patch_radius"], k * row["sheet_blur_length"]
        jinc, slab = (2 * j1(a) / a if a else 1.0), (t / math.sinh(t) if t else 1.0)
        put(row, "G", g)
        put(row, "jinc", jinc)
        put(row, "slab", slab)
        put(row, "first_harmonic_pk_over_mean", 4 * g * jinc * slab)
        put(row, "michelson_approx", 4 * g * jinc * slab)
    for row in data["finite"]:
        h, (w, d), m = row["h_mm"] * 1e-3, (s * 1e-3 for s in row["plate_mm"]), row["m"]
        points = np.array(row["points"], float)

        def lux(x, y):
            total = 0.0
            for px, py, flux in points:
                away = (x - px * 1e-3) ** 2 + (y - py * 1e-3) ** 2 + h * h
                total = total + flux * (m + 1) / (2 * PI) * h ** (m + 1) * away ** (-(m + 3) / 2)
            return total

        n = row["grid"]
        cells = [((np.arange(n) + 0.5) / n - 0.5) * side for side in (w, d)]
        field = lux(*np.meshgrid(*cells))
        put(row, "E_centre_lx", float(lux(0.0, 0.0)))
        put(row, "E_corner_lx", float(lux(w / 2, d / 2)))
        put(row, "mean_lx", field.mean())
        put(row, "min_over_mean", field.min() / field.mean())
        put(row, "min_over_max", field.min() / field.max())
        put(row, "captured_fraction_grid", field.mean() * w * d / points[:, 2].sum())


def floor_to_plate(w, d, h):
    x, y = w / h, d / h
    u, v = 1 + x * x, 1 + y * y
    inner = math.log(math.sqrt(u * v / (u + v - 1))) + x * math.sqrt(v) * math.atan(x / math.sqrt(v))
    inner += y * math.sqrt(u) * math.atan(y / math.sqrt(u)) - x * math.atan(x) - y * math.atan(y)
    return 2 / (PI * x * y) * inner


def zones(w, d, h, walls, board, plate, first):
    """Light that lands on plate, walls and board by what the dice emit; `first` is the plate's share of the first hit."""
    across = floor_to_plate(w, d, h)
    back = (1 - across) * w * d / (2 * (w + d) * h)
    lands = np.array([[0, back * walls, across * board], [(1 - across) * plate, (1 - 2 * back) * walls, (1 - across) * board],
                      [across * plate, back * walls, 0]])
    return np.linalg.solve(np.eye(3) - lands, [first, 1 - first, 0])


def box_rays(w, d, h, walls, board, plate, rays=400_000):
    """Share of the rays of a die amid the floor that reaches the plate, each time it does, by a walk of rays."""
    rng = np.random.default_rng(1)
    size = np.array([w, d, h], float)
    at = np.tile(np.array([w / 2, d / 2, 0.0]), (rays, 1))
    face, weight, landed = np.full(rays, 4), np.ones(rays), 0.0
    while len(weight) > 0:
        up, turn = np.sqrt(rng.random(len(weight))), 2 * PI * rng.random(len(weight))
        axis = face // 2
        go = np.empty_like(at)
        rows = np.arange(len(weight))
        go[rows, axis] = np.where(face % 2 == 0, 1, -1) * np.sqrt(1 - up * up)
        go[rows, (axis + 1) % 3], go[rows, (axis + 2) % 3] = up * np.cos(turn), up * np.sin(turn)
        with np.errstate(divide="ignore", invalid="ignore"):
            reach = np.where(go > 0, (size - at) / go, np.where(go < 0, -at / go, np.inf))
        reach[rows, axis] = np.where(face % 2 == 0, size[axis], size[axis]) / np.abs(go[rows, axis])
        hit = reach.argmin(axis=1)
        at = at + reach[rows, hit, None] * go
        side = (go[rows, hit] > 0).astype(int)
        # Even faces lie at 0 and look up, odd ones at the far end.
        face = 2 * hit + side
        at[rows, hit] = side * size[hit]
        landed += weight[face == 5].sum()
        weight = weight * np.where(face == 5, plate, np.where(face == 4, board, walls))
        keep = weight > 1e-4
        at, face, weight = at[keep], face[keep], weight[keep]
    return landed / rays


def cavities(data, put):
    for row in data["cavity"]:
        w, d, h = (float(row[c]) for c in "WDH")
        rho = [row["rho_" + c] for c in ("wall", "floor", "plate")]
        first = 4 * corner(w / 2, d / 2, h)
        put(row, "p_direct", first)
        put(row, "F_floor_plate", floor_to_plate(w, d, h))
        put(row, "eta_3zone", row["tau_plate"] * zones(w, d, h, *rho, first)[0])
        # Other rays than the stored ones: 400 000 of either, four times their deviation.
        put(row, "eta_montecarlo", row["tau_plate"] * box_rays(w, d, h, *rho), allowed=6e-3)


def slab_photons(tau, photons=200_000):
    """Isotropic scattering in a slab of this optical thickness, index matched: places where photons leave at the back."""
    rng = np.random.default_rng(1)
    at, cosine = np.zeros((photons, 3)), np.sqrt(rng.random(photons))
    turn = 2 * PI * rng.random(photons)
    out = []
    while len(cosine) > 0:
        sine = np.sqrt(1 - cosine**2)
        path = -np.log(rng.random(len(cosine)))
        go = np.column_stack([sine * np.cos(turn), sine * np.sin(turn), cosine])
        end = at + path[:, None] * go
        through = end[:, 2] > tau
        left = (tau - at[through, 2]) / go[through, 2]
        out.append(at[through, :2] + left[:, None] * go[through, :2])
        stay = (end[:, 2] >= 0) & ~through
        at = end[stay]
        cosine, turn = 2 * rng.random(len(at)) - 1, 2 * PI * rng.random(len(at))
    return np.concatenate(out) / tau, photons


def slabs(data, put):
    for slab in data:
        tau = slab["tau"]
        places, photons = slab_photons(tau)
        far = np.hypot(*places.T)
        put(slab, "T_mc", len(places) / photons, allowed=5e-3)
        put(slab, "T_4_3", (4 / 3) / (tau + 4 / 3))
        put(slab, "median_r_over_t", float(np.median(far)), allowed=1.2e-2)
        for row in slab["mtf"]:
            k = row["k_t"]
            put(row, "mc", float(np.cos(k * places[:, 0]).mean()), allowed=1.5e-2)
            longer = k * (1 + 2 * 0.7104 / tau)
            put(row, "kL_sinh_L_t_plus_2ze", longer / math.sinh(longer))
            put(row, "kt_sinh", k / math.sinh(k))


def final(data, put):
    for row in data["m_from_half_angle"]:
        put(row, "m", -math.log(2) / math.log(math.cos(math.radians(row["half_angle_deg"]))))
    for row in data["face"]:
        out = row["flux_in"] * row["eta"]
        put(row, "M_lm_m2", out / row["area_m2"], rel=3e-9)
        put(row, "L_cd_m2", out / row["area_m2"] / PI, rel=3e-9)


def extra(data, put):
    for sample in data["bessel"]["samples"]:
        put(sample, "K", kv(sample["nu"], sample["z"]))
        put(sample, "G", remainder(sample["nu"], sample["z"]))
    for row in data["cavity_dilution"]:
        w, d, h = (float(row[c]) for c in "WDH")
        across, up = (4, 4) if row["n"] == 16 else (3, 1)
        seat = lambda i, n: (i - (n - 1) / 2) * row["pitch"]

        def share(x, y):
            return sum(corner(w / 2 + a * x, d / 2 + b * y, h) for a in (1, -1) for b in (1, -1))

        shares = [share(seat(i, across), seat(j, up)) for i in range(across) for j in range(up)]
        first = sum(shares) / len(shares)
        landed = zones(w, d, h, *row["rho"], first)[0]
        put(row, "p_d", first)
        put(row, "F_corner_led", min(shares))
        put(row, "G_d", landed)
        put(row, "eta", row["tau"] * landed)
        put(row, "dilution", first / landed)
        c1 = 4 * remainder(1.0, 2 * PI * h / row["pitch"])
        put(row, "c1_direct", c1)
        put(row, "c1_face", c1 * first / landed)


if __name__ == "__main__":
    for name, make in (("disc", disc), ("rect", rect), ("rect_off_axis", rect_off_axis), ("captured_rect", captured)):
        again.table(f"light/{name}.csv", make)
    again.tree("light/vectors_near.json", near)
    again.tree("light/vectors_cavity.json", cavities)
    again.tree("light/vectors_slab_mtf.json", slabs)
    again.tree("light/vectors_final.json", final)
    again.tree("light/vectors_extra.json", extra)
    again.end()
