"""Solves by scipy what solves.rs solves by the program, and times it: JSON on standard output.

The equations are those of tests/reference, written in Python as one writes them for scipy; tolerances are chosen so that
both answers agree to what solves.rs asks for, and no tighter.
"""
import json
import pathlib
import statistics
import sys
import time

import scipy
from scipy.integrate import solve_ivp
from scipy.optimize import root

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "reference"))
import switching  # noqa: E402
import thermal_lamps  # noqa: E402

REFERENCE = pathlib.Path(switching.__file__).parent
BITS = 12


def seconds(call, least=0.5):
    """Median of at least five calls and half a second."""
    call()
    times = []
    while len(times) < 5 or sum(times) < least:
        begin = time.process_time()
        call()
        times.append(time.process_time() - begin)
    return statistics.median(times)


def cycle():
    return dict(by="`solve_ivp` (DOP853)", given=switching.P, mean=switching.steady(), seconds=seconds(switching.steady))


def filtered():
    """From rest, period by period, until the lowest voltage stands within half a step of where it ends."""
    rows = json.loads((REFERENCE / "electrical" / "filter.json").read_text())["first_order"]
    # A filter that needs tens of periods, as in a lamp, at half duty, where it ripples most.
    v = dict(next(row for row in rows if 5 < row["tau"] * row["f"] < 50 and row["RL"] is None), D=0.5)
    tau, period = v["tau"], 1 / v["f"]
    options = dict(method="DOP853", rtol=1e-10, atol=1e-12)
    stretch = lambda level, start, length: solve_ivp(lambda _, u: (level - u) / tau, (0, length), [start], **options).y[0, -1]

    def run():
        bottom, bottoms = v["VL"], []
        while True:
            top = stretch(v["VH"], bottom, v["D"] * period)
            bottom, before = stretch(v["VL"], top, (1 - v["D"]) * period), bottom
            bottoms.append(bottom)
            if abs(bottom - before) < 1e-9 * v["VH"]:
                return top, bottoms

    top, bottoms = run()
    step = 0.5 / 2**BITS * (bottoms[-1] - v["VL"])
    settled = next(n for n, u in enumerate(bottoms, 1) if abs(u - bottoms[-1]) <= step) * period
    return dict(by="`solve_ivp` (DOP853)", given=v, most=top, least=bottoms[-1], settled=settled, period=period,
                seconds=seconds(run))


def balance():
    lamps = [thermal_lamps.Lamp(case["inputs"]) for case in thermal_lamps.given().values()]

    def run():
        return [root(lamp.balance, [lamp.room + 20.0] * len(lamp.nodes), method="hybr", options=dict(xtol=1e-11)).x
                for lamp in lamps]

    air = [t[lamp.nodes.index("A")] for lamp, t in zip(lamps, run())]
    return dict(by="`root` (hybr)", air=air, seconds=seconds(run))


def warmup():
    cases = thermal_lamps.given()
    curves, lamps = [], []
    for name, curve in json.loads((REFERENCE / "thermal" / "transient.json").read_text()).items():
        moments = [row[0] for row in curve["samples_t_s_then_T_C"]["rows"]]
        lamps.append((thermal_lamps.Lamp(cases[name]["inputs"]), list(curve["C_J_K"].values()), moments))
        curves.append(dict(name=name, capacities=curve["C_J_K"], moments=moments))

    def run():
        return [solve_ivp(lambda _, y: lamp.slope(y, capacity), (0, moments[-1]), [lamp.room] * len(capacity), method="BDF",
                          rtol=1e-6, atol=1e-5, t_eval=moments).y for lamp, capacity, moments in lamps]

    for curve, found, (lamp, _, moments) in zip(curves, run(), lamps):
        curve["air"] = found[lamp.stored_nodes().index("A"), len(moments) // 2]
    return dict(by="`solve_ivp` (BDF)", curves=curves, seconds=seconds(run))


if __name__ == "__main__":
    json.load(sys.stdin)
    json.dump(dict(version=scipy.__version__, cycle=cycle(), filter=filtered(), balance=balance(), warmup=warmup()),
              sys.stdout, default=float)
