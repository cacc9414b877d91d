"""Whole lamps: makes thermal/cases.json, transient.json, lump_vectors.json and sensitivity_C01.csv; see again.py.

    python3 tests/reference/thermal_lamps.py [--write]

Temperatures by `scipy.optimize.root` (hybr), warm-up by `solve_ivp` (BDF, rtol 1e-8). The lamps' sizes stand in
cases.json; heat capacities in transient.json, where the wall's is split between its two skins.
"""
import copy
import json
import math

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq, root

import again
import thermal_laws as laws
from thermal_laws import Air, Fins


class Lamp:
    """Nodes in the stored order; `flows(T)` gives every flow as (from, to, W, what); R is the room."""

    def __init__(self, given, sink_factor=1.0, wall_factor=1.0):
        i = self.i = given
        self.p, self.room = float(i["p"]), float(i["T_room"])
        self.walls_of_room = float(i.get("T_room_rad", self.room))
        self.sink = Fins(i["sink"]) if "sink" in i else None
        self.outside = self.sink is not None and i["sink"].get("where") == "outside"
        self.sink_factor, self.wall_factor = sink_factor, wall_factor
        a, b, c = i["driver"]["dims"]
        self.driver = 2 * (a * b + b * c + a * c)
        self.nodes = (["S"] if self.sink else []) + ["A", "X", "D"]
        for z in range(len(i["zones"])):
            self.nodes += [f"Wi{z}", f"Wo{z}"]
        led = i["eta_driver"] * i["P_mains"]
        light = i["eta_rad"] * led
        self.dice = led - light
        heat = dict.fromkeys(self.nodes, 0.0)
        for z, share in i["absorb"].items():
            heat[f"Wi{z}"] += share * light
        heat["D"] += i["P_mains"] - led
        heat["S" if self.sink else f"Wi{i['led_zone']}"] += self.dice
        self.heat = np.array([heat[n] for n in self.nodes])

    def flows(self, temperatures):
        t, i, p = dict(zip(self.nodes, temperatures)), self.i, self.p
        fourth = lambda a, b: laws.SIGMA * (a**4 - b**4)
        film = lambda faces, s, a: self.wall_factor * sum(laws.face_transfer(f, s, a, p) * f["A"] for f in faces)
        out = []
        if self.sink:
            around = self.room if self.outside else t["A"]
            seen = self.walls_of_room if self.outside else t["X"]
            g = self.sink_factor * self.sink.convection(i["sink"]["orient"], t["S"], around, p)[-1]
            tail = " out" if self.outside else ""
            out.append(("S", "R" if self.outside else "A", g * (t["S"] - around), "sink conv" + tail))
            out.append(("S", "R" if self.outside else "X", self.sink.effective() * fourth(t["S"], seen), "sink rad" + tail))
        h = laws.body_transfer(self.driver, t["D"], t["A"], p)
        out.append(("D", "A", h * self.driver * (t["D"] - t["A"]), "driver conv"))
        out.append(("D", "X", i["driver"]["eps"] * self.driver * fourth(t["D"], t["X"]), "driver rad"))
        for z, g in i["driver"].get("contacts", {}).items():
            out.append(("D", f"Wi{z}", g * (t["D"] - t[f"Wi{z}"]), "driver contact"))
        for z, zone in enumerate(i["zones"]):
            inner, outer = t[f"Wi{z}"], t[f"Wo{z}"]
            a_in, a_out = (sum(f["A"] for f in zone[side]) for side in ("in", "out"))
            out.append(("A", f"Wi{z}", film(zone["in"], inner, t["A"]) * (t["A"] - inner), "air->wall"))
            out.append(("X", f"Wi{z}", zone["eps_in"] * a_in * fourth(t["X"], inner), "rad->wall"))
            out.append((f"Wi{z}", f"Wo{z}", zone["k"] * math.sqrt(a_in * a_out) / zone["t"] * (inner - outer), "wall"))
            out.append((f"Wo{z}", "R", film(zone["out"], outer, self.room) * (outer - self.room), "wall conv out"))
            out.append((f"Wo{z}", "R", zone["eps_out"] * a_out * fourth(outer, self.walls_of_room), "wall rad out"))
        if "vents" in i:
            out.append(("A", "R", laws.vent(i["vents"], t["A"], self.room, p)[3], "vent"))
        return out

    def balance(self, temperatures):
        left = self.heat.copy()
        for a, b, watts, _ in self.flows(temperatures):
            left[self.nodes.index(a)] -= watts
            if b != "R":
                left[self.nodes.index(b)] += watts
        return left

    def solve(self, start=None):
        first = np.full(len(self.nodes), self.room + 20.0) if start is None else start
        found = root(self.balance, first, method="hybr", options=dict(xtol=1e-13))
        # Once more from where it ended: the last digits depend on how the first Jacobian was taken.
        found = root(self.balance, found.x, method="hybr", options=dict(xtol=1e-14))
        assert abs(self.balance(found.x)).sum() < 1e-9 * self.heat.sum(), found.message
        return found.x

    # Warm-up: the radiation node stores nothing and is worked out from the others.

    def stored_nodes(self):
        return [n for n in self.nodes if n != "X"]

    def whole(self, some):
        """All temperatures from those of the nodes that store heat: what X gets by radiation it gives."""
        t, i = dict(zip(self.stored_nodes(), some)), self.i
        weights = [(i["driver"]["eps"] * self.driver, t["D"])]
        if self.sink and not self.outside:
            weights.append((self.sink.effective(), t["S"]))
        for z, zone in enumerate(i["zones"]):
            weights.append((zone["eps_in"] * sum(f["A"] for f in zone["in"]), t[f"Wi{z}"]))
        t["X"] = (sum(w * k**4 for w, k in weights) / sum(w for w, _ in weights)) ** 0.25
        return np.array([t[n] for n in self.nodes])

    def slope(self, some, capacity):
        left = dict(zip(self.nodes, self.balance(self.whole(some))))
        return np.array([left[n] for n in self.stored_nodes()]) / capacity


def cases(data, put):
    for case in data.values():
        i, lamp = case["inputs"], Lamp(case["inputs"])
        assert case["nodes"] == lamp.nodes, case["nodes"]
        t = lamp.solve()
        put(case, "T_K", list(t), rel=1e-10)
        put(case, "Q_nodes", list(lamp.heat))
        for stored, (a, b, watts, what) in zip(case["flows"], lamp.flows(t), strict=True):
            assert (stored["frm"], stored["to"], stored["tag"]) == (a, b, what), stored
            put(stored, "W", watts, rel=1e-8)
        led = i["led"]
        contact = led["tim_t"] / (led["tim_k"] * led["A_src"])
        if lamp.sink:
            seat, base = t[0], lamp.sink.W * lamp.sink.L
            around = lamp.room if lamp.outside else t[1]
            # The film that the base sees: all its heat over its area and its warmth above the air.
            h = lamp.dice / (base * (seat - around))
            put(case, "h_eff_base", h)
            spread = laws.spread_thick(led["A_src"], base, lamp.sink.tb, lamp.sink.k, h)
        else:
            zone, name = i["zones"][i["led_zone"]], f"Wi{i['led_zone']}"
            seat, skin = t[lamp.nodes.index(name)], t[lamp.nodes.index(name.replace("i", "o"))]
            area = sum(f["A"] for f in zone["out"])
            given_off = sum(w for a, b, w, _ in lamp.flows(t) if a == name.replace("i", "o") and b == "R")
            h = given_off / (area * (skin - lamp.room))
            # The sheet round the emitter: the top of the box, or a disc as wide as the cone's middle.
            sheet = max((f["A"] for f in zone["out"] if f["kind"] == "up"), default=area)
            spread = laws.spread_thin(led["A_src"], sheet, zone["t"], zone["k"], h)
        put(case["led"], "R_tim", contact)
        put(case["led"], "R_spread", spread)
        case_c = seat - 273.15 + lamp.dice * (spread + contact)
        put(case["led"], "T_case_C", case_c)
        put(case["led"], "T_junction_C", case_c + lamp.dice * led["R_jc"])


def given():
    return json.loads((again.HERE / "thermal/cases.json").read_text())


def transient(data, put):
    lamps = given()
    for name, curve in data.items():
        lamp = Lamp(lamps[name]["inputs"])
        names = lamp.stored_nodes()
        assert list(curve["C_J_K"]) == names
        capacity = np.array([curve["C_J_K"][n] for n in names])
        settled_all = lamp.solve()
        settled = np.array([t for n, t in zip(lamp.nodes, settled_all) if n != "X"])
        energy = (capacity * (settled - lamp.room)).sum() / lamp.heat.sum()
        put(curve, "tau_energy_s", energy)
        jacobian = np.empty((len(names), len(names)))
        for k in range(len(names)):
            step = np.zeros(len(names))
            step[k] = 1e-3
            jacobian[:, k] = (lamp.slope(settled + step, capacity) - lamp.slope(settled - step, capacity)) / 2e-3
        rates = -np.linalg.eigvals(jacobian).real
        # Differences of temperatures near the balance lose digits where a wall resists little.
        put(curve, "tau_slow_s", 1 / rates.min(), rel=1e-5)
        put(curve, "tau_fast_s", 1 / rates.max(), rel=1e-5)
        moments = [row[0] for row in curve["samples_t_s_then_T_C"]["rows"]]
        until = max(12 * energy, 1.3 * curve["t_rate_1K_per_h_s"])
        rise = settled - lamp.room
        marks = [(key, share, k) for key, share in (("t632", 0.632), ("t900", 0.9), ("t950", 0.95), ("t990", 0.99))
                 for k in range(len(names))]
        events = [lambda _, y, share=share, k=k: y[k] - lamp.room - share * rise[k] for _, share, k in marks]
        slow = lambda _, y: abs(lamp.slope(y, capacity)).max() - 1 / 3600
        run = solve_ivp(lambda _, y: lamp.slope(y, capacity), (0, until), np.full(len(names), lamp.room), method="BDF",
                        rtol=1e-8, atol=1e-8, dense_output=True, events=[*events, slow])
        for (key, share, k), times in zip(marks, run.t_events):
            if names[k] in curve[key]:
                put(curve[key], names[k], times[0], rel=2e-4)
        put(curve, "t_rate_1K_per_h_s", run.t_events[-1][-1], rel=2e-4)
        for row, moment in zip(curve["samples_t_s_then_T_C"]["rows"], moments):
            put(row, 0, moment)
            for k, t in enumerate(run.sol(moment)):
                put(row, k + 1, t - 273.15, allowed=2e-4)


def lumps(data, put):
    for v in data:
        room = v["TR"]

        def loss(t):
            dt = max(t - room, 0.0)
            return v["A"] * v["hc"] * dt ** (1 + v["n"]) + v["eps"] * laws.SIGMA * v["A"] * (t**4 - room**4)

        end = brentq(lambda t: loss(t) - v["Q"], room, 1500, xtol=1e-13)
        put(v, "T_inf_C", end - 273.15)
        energy = v["C"] * (end - room) / v["Q"]
        put(v, "tau_energy", energy)
        shares = (("t632", 0.632), ("t90", 0.9), ("t95", 0.95), ("t99", 0.99))
        events = [lambda _, y, s=s: y[0] - room - s * (end - room) for _, s in shares]
        run = solve_ivp(lambda _, y: [(v["Q"] - loss(y[0])) / v["C"]], (0, 12 * energy), [room], method="DOP853",
                        rtol=1e-11, atol=1e-11, events=events)
        for (key, _), times in zip(shares, run.t_events):
            put(v, key, times[0], rel=2e-6)
        put(v, "t95_over_tauE", run.t_events[2][0] / energy, rel=2e-6)


def sphere(d, t=0.002):
    return dict(k=0.13, t=t, eps_in=0.92, eps_out=0.92, out=[dict(kind="sphere", A=math.pi * d**2, D=d)],
                **{"in": [dict(kind="vplate", A=math.pi * (d - 2 * t) ** 2, L=d - 2 * t)]})


def sensitivity():
    first = given()["C01_p35_sealed"]["inputs"]
    others = json.loads((again.HERE / "thermal/sink_defs.json").read_text())["sinks"]

    def changed(word):
        i, factors = copy.deepcopy(first), {}
        zone = i["zones"][0]
        last = word.split("=")[-1].split()[-1].strip("x")
        if word.startswith("sink convection"):
            factors = dict(sink_factor=float(last))
        elif word.startswith("wall convection"):
            factors = dict(wall_factor=float(last))
        elif word.startswith("sink emissivity"):
            i["sink"]["eps"] = float(last)
        elif word.startswith("shell emissivity"):
            zone["eps_in"] = zone["eps_out"] = 0.05
        elif word.startswith("shell outer"):
            zone["eps_out"] = 0.05
        elif word.startswith("eta_rad"):
            i["eta_rad"] = float(last)
        elif word == "wall 4 mm":
            zone["t"] = 0.004
        elif word.startswith("sink S"):
            i["sink"] = others[last]
        elif word.startswith("sphere"):
            i["zones"] = [sphere(float(last))]
        elif word == "absorb 5 %":
            i["absorb"] = {"0": 0.05}
        else:
            assert word == "base C01", word
        return Lamp(i, **factors)

    near = Lamp(first).solve()

    def row(row, put):
        lamp = changed(row["variant"])
        t = dict(zip(lamp.nodes, lamp.solve(start=near)))
        for column, node in (("T_sink_C", "S"), ("T_air_C", "A"), ("T_wall_in_C", "Wi0"), ("T_wall_out_C", "Wo0")):
            put(column, t[node] - 273.15)

    again.table("thermal/sensitivity_C01.csv", row)


if __name__ == "__main__":
    again.tree("thermal/cases.json", cases)
    sensitivity()
    again.tree("thermal/lump_vectors.json", lumps)
    again.tree("thermal/transient.json", transient)
    again.end()
