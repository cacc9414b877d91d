"""Observer, spectra, colours, black bodies: what the scripts on light work with.

The observer is the CIE's table at 1 nm, rounded to six decimals at every fifth nanometre from 380 to 780 as CIE 15 prints
it; the weight of blue light is that of IEC 62471. Shares no code with the program.
"""
import csv
import math
import pathlib

import numpy as np
from scipy.optimize import brentq, minimize_scalar

LIGHT = pathlib.Path(__file__).parent / "light"
LUMENS = 683.0
C2 = 1.4388e-2


def columns(name):
    with open(LIGHT / name) as file:
        rows = list(csv.DictReader(file))
    return {key: np.array([float(row[key]) for row in rows]) for key in rows[0]}


class Observer:
    """Weights on a grid of wavelengths in nm."""

    def __init__(self, nm, xyz, step):
        self.nm, self.xyz, self.step = nm, xyz, step

    def tristimulus(self, density):
        """Of watts per nanometre."""
        return LUMENS * self.step * (self.xyz @ density)

    def black_body(self, t, c2=C2):
        with np.errstate(over="ignore"):
            return (self.nm / 560) ** -5.0 * np.expm1(c2 / (560e-9 * t)) / np.expm1(c2 / (self.nm * 1e-9 * t))

    def locus(self, t, c2=C2):
        return xy(self.tristimulus(self.black_body(t, c2)))


_fine = columns("cmf_1931_2deg_1nm_360_830.csv")
_all = np.array([_fine[c] for c in ("xbar", "ybar_V", "zbar")])
FINE = Observer(_fine["wavelength_nm"], _all, 1.0)
_pick = [i for i, nm in enumerate(FINE.nm) if 380 <= nm <= 780 and nm % 5 == 0]
COARSE = Observer(FINE.nm[_pick], np.round(_all[:, _pick], 6), 5.0)
_weight = columns("blue_light_hazard.csv")
BLUE = np.interp(COARSE.nm, _weight["wavelength_nm"], _weight["B"], right=0.0)


def xy(xyz):
    return np.array(xyz[:2]) / sum(xyz)


def uv(at):
    """CIE 1960."""
    x, y = at
    return np.array([4 * x, 6 * y]) / (-2 * x + 12 * y + 3)


def uniform(at):
    """CIE 1976 u', v'."""
    return uv(at) * np.array([1.0, 1.5])


def from_uniform(at):
    u, v = at
    return np.array([9 * u, 4 * v]) / (6 * u - 16 * v + 12)


def from_uv(at):
    return from_uniform(np.array(at) * np.array([1.0, 1.5]))


HALF = brentq(lambda x: (math.exp(-x * x) + 2 * math.exp(-5 * x * x)) / 3 - 0.5, 0.1, 1.0, xtol=1e-15)
AREA = math.sqrt(math.pi) * (1 + 2 / math.sqrt(5)) / 3


def die(peak, fwhm, nm=COARSE.nm):
    """Ohno's line of one radiant watt, W/nm."""
    delta = fwhm / (2 * HALF)
    g = np.exp(-(((nm - peak) / delta) ** 2))
    return (g + 2 * g**5) / (3 * AREA * delta)


def band(peak, fwhm, nm=COARSE.nm):
    return 2 * math.sqrt(math.log(2) / math.pi) / fwhm * np.exp(-4 * math.log(2) * ((nm - peak) / fwhm) ** 2)


def phosphor_white(at, blue=450.0):
    """Shares of the three bands at this chromaticity, and the spectrum."""
    bands = [die(blue, 22.0), band(547.0, 110.0), band(618.0, 119.0)]
    sums = np.array([COARSE.tristimulus(b) for b in bands]).T
    total = sums.sum(axis=0)
    shares = np.linalg.solve(np.array([sums[0] - at[0] * total, sums[1] - at[1] * total, np.ones(3)]), [0, 0, 1])
    return shares, shares @ np.array(bands)


def efficacy(density, observer=COARSE, watts=None):
    """Lumens by radiant watt; without `watts` the spectrum is one watt by its own making."""
    return observer.tristimulus(density)[1] / (1.0 if watts is None else watts)


def blue_light(density):
    """mW by lumen."""
    return 1e3 * COARSE.step * (BLUE @ density) / COARSE.tristimulus(density)[1]


def blue_of_bands(bands, shares):
    """The same of model bands, their watts weighted from 300 nm on, where the observer's table holds no light."""
    nm = _weight["wavelength_nm"]
    watts = sum(share * 5 * (_weight["B"] @ make(peak, width, nm)) for share, (make, peak, width) in zip(shares, bands))
    lumens = sum(share * COARSE.tristimulus(make(peak, width))[1] for share, (make, peak, width) in zip(shares, bands))
    return 1e3 * watts / lumens


def blue_of_die(peak, fwhm):
    return blue_of_bands([(die, peak, fwhm)], [1.0])


def blue_of_white(shares, blue=450.0):
    return blue_of_bands([(die, blue, 22.0), (band, 547.0, 110.0), (band, 618.0, 119.0)], shares)


def correlated(at, observer=COARSE, c2=C2):
    """Colour temperature and Duv by the least distance from the locus in CIE 1960."""
    point = uv(at)
    away = lambda inverse: math.hypot(*(uv(observer.locus(1e6 / inverse, c2)) - point))
    grid = np.linspace(1e6 / 25000, 1e6 / 1000, 400)
    k = int(np.argmin([away(g) for g in grid]))
    found = minimize_scalar(away, bounds=(grid[max(k - 1, 0)], grid[min(k + 1, 399)]), method="bounded", options=dict(xatol=1e-9))
    # A minimum is flat: its place is found where the distance stands at a right angle to the locus.
    def slant(inverse, step=1e-3):
        ahead, back = (uv(observer.locus(1e6 / (inverse + s), c2)) for s in (step, -step))
        return float((ahead - back) @ (uv(observer.locus(1e6 / inverse, c2)) - point))

    inverse = brentq(slant, found.x - 0.3, found.x + 0.3, xtol=1e-12)
    t = 1e6 / inverse
    side = point - uv(observer.locus(t, c2))
    along = uv(observer.locus(t * 1.0001, c2)) - uv(observer.locus(t / 1.0001, c2))
    # Above the locus where it lies to the left of falling temperature.
    sign = 1.0 if along[0] * side[1] - along[1] * side[0] < 0 else -1.0
    return t, sign * math.hypot(*side)


def white(t, duv, observer=COARSE):
    """Chromaticity this far above the locus."""
    here, hotter = uv(observer.locus(t)), uv(observer.locus(t + 0.01))
    du, dv = here - hotter
    n = math.hypot(du, dv)
    return from_uv([here[0] - duv * dv / n, here[1] + duv * du / n])


def dominant(at, observer=COARSE):
    """Wavelength where the ray from equal energy through the point leaves, on chords of the table, and purity."""
    start = np.array([1 / 3, 1 / 3])
    way = np.array(at) - start
    within = (observer.nm >= 380) & (observer.nm <= 700)
    edge = [xy(c) for c in observer.xyz.T[within]]
    nm = observer.nm[within]
    for (a, b), low, high in zip(zip(edge, edge[1:]), nm, nm[1:]):
        matrix = np.array([way, a - b]).T
        if abs(np.linalg.det(matrix)) < 1e-18:
            continue
        s, t = np.linalg.solve(matrix, a - start)
        if s > 0 and -1e-12 <= t <= 1 + 1e-12:
            return low + (high - low) * t, 1 / s
    return None


# The channels of the mixing vectors: peak and width or colour temperature, radiant and electrical watts.
CHANNELS = {"R": (632.0, 18.0, 0.5, 1.1), "G": (520.0, 33.0, 0.35, 1.6), "B": (455.0, 20.0, 0.8, 1.55),
            "A": (592.0, 16.0, 0.15, 1.05), "W": (2700.0, None, 0.45, 1.05), "C": (6500.0, None, 0.5, 1.05)}


def spectrum_of(key, shift=0.0):
    first, width, _, _ = CHANNELS[key]
    return phosphor_white(COARSE.locus(first))[1] if width is None else die(first + shift, width)


def light_of(key):
    """Tristimulus values at full."""
    return COARSE.tristimulus(spectrum_of(key)) * CHANNELS[key][2]


def blue_of(key):
    """mW by lumen of a channel."""
    first, width, _, _ = CHANNELS[key]
    return blue_of_white(phosphor_white(COARSE.locus(first))[0]) if width is None else blue_of_die(first, width)
