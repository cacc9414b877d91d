"""Single laws of heat: makes thermal/*.csv but the whole lamps, and thermal/geometry_vectors.json; see again.py.

    python3 tests/reference/thermal.py [--write]

The equation of state is CoolProp's; the rays of the channel, the series of the spreading resistance and the mixed air
between spheres are counted, summed and solved here. The random seed is fixed.
"""
import json
import math

import CoolProp.CoolProp as CP
import ht
import numpy as np
from scipy.optimize import brentq
from scipy.special import j0, j1, jn_zeros

import again
import thermal_laws as laws
from thermal_laws import Air, Fins

ROOM = 298.15


def equation_of_state(t):
    ask = lambda what: CP.PropsSI(what, "T", t, "P", laws.ATMOSPHERE, "Air")
    rho, cp, k, mu = ask("D"), ask("C"), ask("L"), ask("V")
    beta = ask("isobaric_expansion_coefficient")
    return dict(rho=rho, cp=cp, k=k, mu=mu, nu=mu / rho, alpha=k / (rho * cp), Pr=mu * cp / k, beta=beta)


def air_properties(row, put):
    fit = vars(Air(row["T_K"]))
    for name, value in equation_of_state(row["T_K"]).items():
        put("coolprop_" + name, value)
        put("corr_" + name, fit[name])


def handbooks(row, put):
    name = row["prop"]
    fit, state = vars(Air(row["T_K"]))[name], equation_of_state(row["T_K"])[name]
    put("corr", fit)
    put("coolprop", state)
    put("corr_rel", f"{fit / row['table'] - 1:+.3%}")
    put("coolprop_rel", f"{state / row['table'] - 1:+.3%}")


def nusselt(row, put):
    ra, pr = float(row["Ra"]), 0.71
    put("vplate_CC_lam", laws.upright_laminar(ra, pr))
    put("hup_RaithbyHollands", laws.face_up(ra, pr))
    put("hdn_RaithbyHollands", laws.face_down(ra, pr))
    put("sphere_Churchill", laws.sphere(ra, pr))
    put("hcyl_ChurchillChu", laws.lying_cylinder(ra, pr))
    put("body_Yovanovich", laws.body(ra, pr))
    put("barcohen_rohsenow(El=Ra)", laws.channel(ra))
    put("jones_smith(RaS=Ra)", laws.fins_up(ra))
    put("jones_smith_RH_form(RaS=Ra)", ((ra / 1500) ** -2 + (0.081 * ra**0.39) ** -2) ** -0.5)
    # Two of them by a library that shares nothing with this file.
    same = [(laws.lying_cylinder(ra, pr), ht.Nu_horizontal_cylinder_Churchill_Chu(pr, ra / pr)),
            (laws.face_down(ra, pr), ht.Nu_horizontal_plate_Rohsenow(pr, ra / pr, False))]
    assert all(abs(a / b - 1) < 1e-9 for a, b in same), same


def sinks():
    defined = json.loads((again.HERE / "thermal/sink_defs.json").read_text())["sinks"]

    def row(row, put):
        sink = Fins(defined[row["sink"]], attached=0.0)
        warm = ROOM + row["dT_K"]
        number, h, eta, fins, envelope, both = sink.convection(row["orient"], warm, ROOM)
        by_light = sink.effective() * laws.SIGMA * (warm**4 - ROOM**4)
        put("S_m", sink.gap)
        put("El_or_RaS", number)
        put("h_channel", h)
        put("eta_fin", eta)
        put("G_fin", fins)
        put("G_env", envelope)
        put("G_conv", both)
        put("EA_rad", sink.effective())
        put("F_channel", sink.view())
        put("Q_conv_W", both * row["dT_K"])
        put("Q_rad_W", by_light)
        put("R_total_K_W", row["dT_K"] / (both * row["dT_K"] + by_light))

    again.table("thermal/sink_vectors.csv", row)


def rays(gap, height, length, count=400_000):
    """Share of cosine rays from two fins and their base that leave between them."""
    rng = np.random.default_rng(1)
    own = np.array([length * gap, length * height, length * height])
    which = rng.choice(3, size=count, p=own / own.sum())
    u, v = rng.random(count), rng.random(count)
    up = np.sqrt(rng.random(count))  # sine of the polar angle
    turn = 2 * np.pi * rng.random(count)
    normal, a, b = np.sqrt(1 - up**2), up * np.cos(turn), up * np.sin(turn)
    # x across, y along, z out of the channel; the base lies at z = 0, the fins at x = 0 and x = gap.
    base = which == 0
    sign = np.where(which == 2, -1.0, 1.0)
    at = np.where(base, [u * gap, v * length, 0 * u], [np.where(which == 2, gap, 0), v * length, u * height])
    go = np.where(base, [a, b, normal], [sign * normal, b, a])
    with np.errstate(divide="ignore", invalid="ignore"):
        reach = lambda k, low, high: np.where(go[k] > 0, (high - at[k]) / go[k], np.where(go[k] < 0, (low - at[k]) / go[k], np.inf))
        across, along = reach(0, 0, gap), reach(1, 0, length)
        out = np.where(go[2] > 0, (height - at[2]) / go[2], np.inf)
        floor = np.where(go[2] < 0, -at[2] / go[2], np.inf)
    return (np.minimum(along, out) < np.minimum(across, floor)).mean()


def view(row, put):
    gap, height, length = (float(row[c]) for c in ("S_mm", "H_mm", "L_mm"))
    put("F_exact", laws.channel_view(gap, height, length))
    h, r = height / gap, math.hypot(1, length / gap)
    put("F_shabany", 1 - 2 * h * (r - 1) / (2 * h * length / gap + r - 1))
    counted = rays(gap, height, length)
    # Other rays than the stored ones: both stand within four standard deviations of the difference.
    put("F_montecarlo", counted, allowed=4 * math.sqrt(2) * row["mc_sigma"])
    put("mc_sigma", math.sqrt(row["F_montecarlo"] * (1 - row["F_montecarlo"]) / 400_000), rel=2e-6)


def exact_spreading(source, plate, thickness, k, h, terms=400):
    """Uniform heat on a disc amid a disc that loses h below: the greatest above the same heat spread over all."""
    a, b = math.sqrt(source / math.pi), math.sqrt(plate / math.pi)
    lam = jn_zeros(1, terms) / b
    e = np.exp(-2 * lam * thickness)
    depth = ((1 + e) + h / (k * lam) * (1 - e)) / ((1 - e) + h / (k * lam) * (1 + e))
    share = 2 * j1(lam * a) / (a * b * b * lam**2 * j0(lam * b) ** 2 * math.pi * k) * depth
    return share.sum()


def spreading(row, put):
    given = [float(row[c]) for c in ("A_src_m2", "A_base_m2", "t_m", "k", "h")]
    # The series is cut where the stored one was; its greatest value converges slowly.
    put("Rmax_exact", exact_spreading(*given), rel=2e-5)
    put("Rmax_formula", laws.spread_thick(*given))


def vents(row, put):
    # Twelve holes of 6 mm on each of two levels; the stored area is rounded.
    holes = dict(Hn=0.11, A1=3.393e-4, A2=3.393e-4, d1=6e-3, d2=6e-3, t=2e-3, Cd=0.60)
    inside = ROOM + row["dT_K"]
    flow, dp, neutral, heat = laws.vent(holes, inside, ROOM)
    put("mdot_kg_s", flow)
    put("dp_Pa", dp)
    put("h_neutral_m", neutral)
    put("Q_W", heat)
    flow, _, neutral, _ = laws.vent(holes, inside, ROOM, viscous=False)
    put("mdot_inviscid", flow)
    put("h_neutral_inviscid", neutral)
    # The equation of handbooks, with the densities themselves in place of their linear form.
    rise = math.sqrt(2 * laws.G * neutral * (1 - Air(inside).rho / Air(ROOM).rho))
    put("mdot_stack_eq", Air(ROOM).rho * 0.60 * holes["A1"] * rise)


def spheres(row, put):
    """One mixed air between two films, beside the law of Raithby and Hollands for concentric spheres."""
    inner, outer, wall = float(row["Di_m"]), float(row["Do_m"]), 310.0
    hot = wall + row["dT_K"]
    f, gap = laws.film(hot, wall), (outer - inner) / 2
    shape = gap / ((inner * outer) ** 4 * (inner**-1.4 + outer**-1.4) ** 5)
    k_eff = f.k * 0.74 * (f.Pr / (0.861 + f.Pr)) ** 0.25 * (shape * f.rayleigh(hot - wall) * gap**3) ** 0.25
    law = k_eff * math.pi * inner * outer / gap * (hot - wall)
    put("q_RaithbyHollands_W", law)

    def ratio(shell):
        ball = dict(kind="sphere", D=inner)
        into = lambda air: laws.face_transfer(ball, hot, air) * math.pi * inner**2 * (hot - air)
        off = lambda air: laws.face_transfer(shell, wall, air) * math.pi * outer**2 * (air - wall)
        return into(brentq(lambda air: into(air) - off(air), wall + 1e-6, hot - 1e-6, xtol=1e-12)) / law

    put("ratio_sphere", ratio(dict(kind="sphere", D=outer)))
    for column, length in (("ratio_plateD", outer), ("ratio_plate_piD4", math.pi * outer / 4), ("ratio_plateR", outer / 2)):
        put(column, ratio(dict(kind="vplate", L=length)))


def capacitor(row, put):
    put("L", row["L0"] * 2 ** ((row["T0"] - row["T"]) / 10))


def shells():
    shapes = {"sphere_D150": ("sphere", dict(D=0.15, t=0.002, k=0.13), 0.92),
              "sphere_D300": ("sphere", dict(D=0.3, t=0.002, k=0.13), 0.92),
              "box_200x200x80": ("box", dict(a=0.2, b=0.2, h=0.08, t=0.006, k=0.13), 0.90),
              "albox_300x200x100": ("box", dict(a=0.3, b=0.2, h=0.1, t=0.002, k=200.0), 0.80),
              "cyl_D120_H200": ("vertical cylinder", dict(D=0.12, H=0.2, t=0.005, k=1.5), 0.92)}

    def row(row, put):
        name, p, eps = shapes[row["shell"]]
        outer, inner = faces(name, p), faces(name, p, inside=True)
        area = lambda some: sum(f["A"] for f in some)
        heat = lambda t: sum(laws.face_transfer(f, t, ROOM) * f["A"] for f in outer) * (t - ROOM) + (
            eps * area(outer) * laws.SIGMA * (t**4 - ROOM**4))
        skin = brentq(lambda t: heat(t) - row["Q_W"], ROOM + 1e-6, 900, xtol=1e-12)
        inside = skin + row["Q_W"] / (p["k"] * math.sqrt(area(outer) * area(inner)) / p["t"])
        film = lambda air: sum(laws.face_transfer(f, inside, air) * f["A"] for f in inner) * (air - inside)
        air = brentq(lambda t: film(t) - row["Q_W"], inside + 1e-6, 1500, xtol=1e-12)
        put("T_outer_C", skin - 273.15)
        put("T_inner_C", inside - 273.15)
        put("T_air_all_convected_C", air - 273.15)
        put("A_out_m2", area(outer))

    again.table("thermal/shell_vectors.csv", row)


def faces(name, p, inside=False):
    """Faces of a body; inside, sizes are less by the wall and what looked up looks down."""
    t, pi = (p["t"] if inside else 0.0), math.pi
    up, down = ("dn", "up") if inside else ("up", "dn")
    flat = lambda kind, area, length: dict(kind=kind, A=area, Lc=length)
    if name.startswith(("sphere", "part")):
        d = p["D"] - 2 * t
        area = pi * d * d
        if "a" in p:
            r, opening = d / 2, p["a"] - t
            area = 2 * pi * r * (r + math.sqrt(r * r - opening**2))
        return [dict(kind="vplate", A=area, L=d) if inside else dict(kind="sphere", A=area, D=d)]
    if name == "box":
        a, b, h = (p[c] - 2 * t for c in "abh")
        return [dict(kind="vplate", A=2 * h * (a + b), L=h), *(flat(k, a * b, a * b / (2 * (a + b))) for k in (up, down))]
    if name == "vertical cylinder":
        d, h = p["D"] - 2 * t, p["H"] - 2 * t
        side = dict(kind="vplate", A=pi * d * h, L=h) if inside else dict(kind="vcyl", A=pi * d * h, L=h, D=d)
        return [side, *(flat(k, pi * d * d / 4, d / 4) for k in (up, down))]
    if name.startswith("truncated"):
        r1, r2 = p["r1"] - t, p["r2"] - t
        slant = math.hypot(r2 - r1, p["h"])
        side = dict(kind="vplate", A=pi * (r1 + r2) * slant, L=slant, gc=p["h"] / slant)
        return [side, flat(up, pi * r1 * r1, r1 / 2)]
    r = p["r"]
    if name == "vertical disk":
        return [dict(kind="vplate", A=pi * r * r, L=pi * r / 2)]
    return [flat(down, pi * r * r, r / 2)]


def geometry(data, put):
    for row in data:
        p, both = row["params"], {}
        for side, inside in (("faces_out", False), ("faces_in", True)):
            both[side] = faces(row["shape"], p, inside)
            for stored, made in zip(row[side], both[side], strict=True):
                for key in stored:
                    put(stored, key, made[key])
        outer, inner = (sum(f["A"] for f in both[side]) for side in ("faces_out", "faces_in"))
        put(row, "A_out", outer)
        put(row, "A_in", inner)
        put(row, "U_wall", p["k"] * math.sqrt(outer * inner) / p["t"])


if __name__ == "__main__":
    again.table("thermal/air_properties.csv", air_properties)
    again.table("thermal/air_handbook_check.csv", handbooks)
    again.table("thermal/nusselt_vectors.csv", nusselt)
    sinks()
    again.table("thermal/viewfactor_channel.csv", view)
    again.table("thermal/spreading_check.csv", spreading)
    again.table("thermal/vent_vectors.csv", vents)
    again.table("thermal/concentric_sphere_check.csv", spheres)
    again.table("thermal/capacitor_life.csv", capacitor)
    shells()
    again.tree("thermal/geometry_vectors.json", geometry)
    again.end()
