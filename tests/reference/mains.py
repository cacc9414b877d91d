"""Conductors, cords, fuses, distances: makes the electrical tables of mains/ and mains/lamp_examples.json; see again.py.

    python3 tests/reference/mains.py [--write]

Formulas and rows are those of the standards that mains/ORIGIN.md and tests/SOURCES.md name; sizes of cords that stand in
a standard's table are given there and only held against geometry here.
"""
import bisect
import math

import again

G = 9.80665
COPPER = 1000 / 58  # ohm mm2/km at 20 °C, IEC 60028
ALPHA = 0.00393
FUSES = [n / 1000 for n in (32, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800)] + [
    1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3]
# Creepage in mm by volts, material group III, pollution degree 2 (IEC 60664-1 table F.4).
CREEPAGE = {10: 0.40, 12.5: 0.42, 16: 0.45, 20: 0.48, 25: 0.50, 32: 0.53,
            40: 1.10, 50: 1.20, 63: 1.25, 80: 1.30, 100: 1.40, 125: 1.50,
            160: 1.60, 200: 2.00, 250: 2.50}
# Clearance in mm by impulse volts (table F.2).
CLEARANCE = {800: 0.1, 1500: 0.5, 2500: 1.5, 4000: 3.0}
# Greatest diameter of a class 5 conductor by mm2, IEC 60228.
BUNDLE = {0.5: 1.1, 0.75: 1.3, 1.0: 1.5, 1.5: 1.8, 2.5: 2.4}
# Round bundle of equal cores by the diameter of one.
LAY = {2: 2.0, 3: 1 + 2 / math.sqrt(3), 4: 1 + math.sqrt(2), 5: 1 + 1 / math.sin(math.radians(36))}


def gauge(n):
    """Diameter in mm of a gauge, ASTM B258."""
    return 0.127 * 92 ** ((36 - n) / 39)


def section(d):
    return math.pi * d * d / 4


def warm(t):
    return 1 + ALPHA * (t - 20)


def awg(row, put):
    d = gauge(row["awg"])
    put("d_mm", d)
    put("d_in", d / 25.4)
    put("area_mm2", section(d))
    put("ohm_km_20C_ideal", COPPER / section(d))
    put("ohm_kft", COPPER / section(d) * 0.3048)


def mm2_awg(row, put):
    area = row["mm2"]
    real = 36 - 39 * math.log(math.sqrt(4 * area / math.pi) / 0.127) / math.log(92)
    put("awg_real", real)
    put("not_smaller_even", max(n for n in range(0, 41, 2) if section(gauge(n)) >= area))


def iec60228(row, put):
    ideal = COPPER / row["mm2"]
    put("ideal_1/58", ideal)
    put("ratio_cl5", row["class5_plain"] / ideal)


def warms(row, put):
    put("R_factor_0.00393", warm(row["T"]))


def vdrop(row, put):
    if row["type"] == "ideal*1.13":
        put("ohm_km_20", 1.13 * COPPER / row["mm2"])  # printed to seven digits, and the drop made of more
    drop = 2 * row["L_m_oneway"] * row["I_A"] * row["ohm_km_20"] * warm(row["T_C"]) / 1000
    put("dV", drop, rel=3e-7)


def held(n, area):
    """Greatest mass in kg on a cord, IEC 60598-1 4.14."""
    return min(5.0, 15 * n * area / G)


def hang(row, put):
    put("max_kg_min(5,15nA/g)", held(row["n"], row["mm2"]))


def round_cords(row, put):
    core = math.sqrt(4 * row["mm2"] / math.pi)
    over = lambda d: LAY[int(row["cores"])] * (d + 2 * row["insul"]) + 2 * row["sheath"]
    solid, most = over(core), over(BUNDLE[float(row["mm2"])])
    put("geom_solid", solid)
    put("geom_max", most)
    put("OD_min/geom", row["OD_min"] / solid)
    put("consistent", str(0.9 < row["OD_min"] / solid < 1 and row["OD_max"] >= most))


def flat_cords(row, put):
    core = math.sqrt(4 * row["mm2"] / math.pi) + 2 * row["insul"]
    put("geom_minor", core + 2 * row["sheath"])
    put("geom_major", 2 * core + 2 * row["sheath"])


def us_cords(row, put):
    core = 1.19 + 2 * row["insul"]  # bundle of 18 AWG
    if row["minor_mm"] != "":
        put("minor_mm", core)
    put("major_or_round_mm", LAY[int(row["cores"])] * core + 2 * row["jacket"])


def insulation(row, put):
    basic, double = 2 * row["U"] + 1000, 4 * row["U"] + 2000
    put("basic_V", basic)
    put("reinf_V", double)


def creepage(volts):
    rows = list(CREEPAGE)
    return CREEPAGE[rows[bisect.bisect_left(rows, volts)]]


def clearance(volts, reinforced):
    """Category II; reinforced: the next step of the impulse."""
    impulse = 1500 if volts <= 150 else 2500
    steps = list(CLEARANCE)
    return CLEARANCE[steps[steps.index(impulse) + reinforced]]


def distances(row, put):
    u = row["U"]
    put("PD2_III_step", creepage(u))
    put("reinf_step", 2 * creepage(u))
    put("clear_basic_OVC2", clearance(u, False))
    put("clear_reinf_OVC2", clearance(u, True))


def fuse(need):
    return FUSES[bisect.bisect_left(FUSES, need)]


def fuse_pick(row, put):
    current = row["P_W"] / (row["Vmin"] * row["pf"])
    put("I_A", current)
    put("need_A", current / row["k"])
    put("fuse_A", fuse(current / row["k"]))


def inrush(row, put):
    v, r = row["Vpk"], row["R_total"]
    energy = row["C"] * v * v / (2 * r)
    # The volts are given to seven digits.
    put("I2t_A2s", energy, rel=4e-7)
    put("melting_I2t_needed(0.30)", energy / 0.30, rel=4e-7)


def lamps(data, put):
    """Two whole lamps: least volts, derating of the fuse, cord (cores, mm2, m, ohm/km)."""
    eighteen = section(gauge(18))
    rest = {"A_230V_classII_pendant": (207, 0.80, (2, 0.75, 2.0, 26.0)),
            # Stranding adds 5 % to the ideal resistance; the section on the cord's weight is the printed 0.823 mm2.
            "B_120V_classI_table": (108, 0.75, (3, 0.823, 1.8, 1.05 * COPPER / eighteen))}
    for name, lamp in data.items():
        least, k, (cores, area, length, ohm_km) = rest[name]
        u, current = lamp["V"], lamp["P"] / (least * lamp["pf"])
        put(lamp, "I_max", current)
        put(lamp, "fuse", fuse(current / k))
        put(lamp, "fuse_of_cord_ok", fuse(current / k) <= 6)
        put(lamp, "vdrop", 2 * length * current * ohm_km * warm(30) / 1000)
        put(lamp, "test_basic", 2 * u + 1000)
        put(lamp, "test_reinf", 4 * u + 2000)
        put(lamp, "creep_basic", creepage(u))
        put(lamp, "creep_reinf", 2 * creepage(u))
        put(lamp, "clear_basic", clearance(u, False))
        put(lamp, "clear_reinf", clearance(u, True))
        put(lamp, "hang_max", held(cores, area))
        put(lamp, "anchorage_N", 60 if cores * area <= 3 else 80)
        put(lamp, "anchorage_Nm", 0.15 if cores * area <= 1.5 else 0.25 if cores * area <= 3 else 0.35)


if __name__ == "__main__":
    for name, make in (("awg", awg), ("mm2_awg", mm2_awg), ("iec60228", iec60228), ("warm", warms), ("vdrop", vdrop),
                       ("hang", hang), ("cords_round", round_cords), ("cords_flat", flat_cords),
                       ("cords_us_geom", us_cords), ("insulation_tests", insulation), ("creepage_60664", distances),
                       ("fuse_pick", fuse_pick), ("inrush", inrush)):
        again.table(f"mains/{name}.csv", make)
    again.tree("mains/lamp_examples.json", lamps)
    again.end()
