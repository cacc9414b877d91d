"""Dimmed currents of a held peak: makes electrical/held.csv; see again.py.

    python3 tests/reference/electrical_held.py [--write]

The table lamp's filtered reference holds the peak of a switched current. `share` is the mean current at a level of the
reference over that at full, cycle after cycle until it repeats: string, inductor, warm switch, diode, an amplifier with
one pole and a comparator with its delay, by numerical integration. Parts are those of the lamp's values sheet.
"""
import functools
import math

from scipy.integrate import solve_ivp

import again

SUPPLY, INDUCTANCE, WINDING, DIODE = 12.0, 150e-6, 0.3, 0.4
# 50 milliohms at 25 degrees, 1.6 times as much when hot.
SWITCH = 0.08
BANDWIDTH, DELAY, OFF_TIME = 50e6, 80e-9, 3.5e-6
REFERENCE = 3.3 * 10e3 / (10e3 + 40.0)
EXACT = dict(method="DOP853", rtol=1e-12, atol=1e-15)


def run(slopes, state, until, events=()):
    """From `state` up to an event or the end: the time it took, the state then, and which event it was."""
    for event in events:
        event.terminal = True
    found = solve_ivp(slopes, (0.0, until), state, events=events or None, **EXACT)
    hit = next((n for n, times in enumerate(found.t_events or []) if len(times)), None)
    return found.t[-1], list(found.y[:, -1]), hit


@functools.cache
def mean(offset, slope, sense, gain, level):
    """Mean current, A. The state is current, amplifier's output, and charge that has flowed."""
    lag, trip = gain / (2 * math.pi * BANDWIDTH), level * REFERENCE

    def closed(_, y):
        drop = offset + (slope + WINDING + SWITCH + sense) * y[0]
        return [(SUPPLY - drop) / INDUCTANCE, (gain * sense * y[0] - y[1]) / lag, y[0]]

    def opened(_, y):
        return [-(offset + DIODE + (slope + WINDING) * y[0]) / INDUCTANCE, -y[1] / lag, y[0]]

    def empty(_, y):
        return [0.0, -y[1] / lag, 0.0]

    def rises(_, y):
        return y[1] - trip

    def falls(_, y):
        return trip - y[1]

    def none_left(_, y):
        return y[0]

    def coast(state, until, event):
        """The switch is open: the current falls, and stays at zero once it is there."""
        events = [event] if event else []
        time, state, hit = run(opened, state, until, [none_left, *events])
        if hit != 0:
            return time, state
        more, state, _ = run(empty, [0.0, *state[1:]], until - time, events)
        return time + more, state

    none_left.direction, rises.direction, falls.direction = -1, 1, 1
    state, last = [0.0, 0.0, 0.0], 0.0
    for _ in range(1000):
        time, state, _ = run(closed, state, 1.0, [rises])
        more, state, _ = run(closed, state, DELAY)
        time += more
        if state[1] > trip:
            more, state = coast(state, 1e-3, falls)
            time += more
        more, state = coast(state, OFF_TIME, None)
        found = state[2] / (time + more)
        state[2] = 0.0
        if abs(found - last) < 1e-12 * found:
            return found
        last = found
    raise ArithmeticError("no cycle repeats")


def row(cells, put):
    parts = [float(cells[key]) for key in ("offset_V", "slope_ohm", "sense_ohm", "gain")]
    put("share", mean(*parts, float(cells["level"])) / mean(*parts, 1.0))


if __name__ == "__main__":
    again.table("electrical/held.csv", row)
    again.end()
