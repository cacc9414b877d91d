"""Air, free convection, fins, radiation, spreading, vents: what the scripts on heat work with. SI units, kelvin.

Written from the equations as their sources print them; shares no code with the program. `thermal.py` makes the tables of
single laws with it, `thermal_lamps.py` the whole lamps.
"""
import math

from scipy.special import i0, i1, k0, k1

G, SIGMA, ATMOSPHERE = 9.80665, 5.670374419e-8, 101325.0


class Air:
    """Dry air: forms of Sutherland fitted to the equation of state of Lemmon and Jacobsen, 250 K to 420 K."""

    def __init__(self, kelvin, p=ATMOSPHERE):
        t = kelvin
        self.rho = 353.05 * (p / ATMOSPHERE) / t
        self.cp = 1032.56 - 0.21115 * t + 4.1277e-4 * t * t
        self.mu = 1.4943e-6 * t**1.5 / (t + 118.7)
        self.k = 2.3515e-3 * t**1.5 / (t + 162.8)
        self.nu, self.alpha = self.mu / self.rho, self.k / (self.rho * self.cp)
        self.Pr, self.beta = self.mu * self.cp / self.k, 1 / t

    def rayleigh(self, dt):
        """Rayleigh number by the cube of the length, 1/m3."""
        return G * self.beta * max(abs(dt), 1e-9) / (self.nu * self.alpha)


def shape_of_prandtl(a, pr, outer):
    return (1 + (a / pr) ** (9 / 16)) ** outer


def upright_laminar(ra, pr):
    return 0.68 + 0.670 * ra**0.25 / shape_of_prandtl(0.492, pr, 4 / 9)


def face_up(ra, pr):
    """Raithby and Hollands: warm face up."""
    ra = max(ra, 1e-12)
    thin = 0.835 * 0.671 / shape_of_prandtl(0.492, pr, 4 / 9) * ra**0.25
    laminar = 1.4 / math.log1p(1.4 / thin)
    turbulent = 0.14 * (1 + 0.0107 * pr) / (1 + 0.01 * pr) * ra ** (1 / 3)
    return (laminar**10 + turbulent**10) ** 0.1


def face_down(ra, pr):
    """Raithby and Hollands: warm face down."""
    thin = 0.527 * max(ra, 1e-12) ** 0.2 / (1 + (1.9 / pr) ** 0.9) ** (2 / 9)
    return 2.5 / math.log1p(2.5 / thin)


def sphere(ra, pr):
    return 2 + 0.589 * ra**0.25 / shape_of_prandtl(0.469, pr, 4 / 9)


def lying_cylinder(ra, pr):
    return (0.60 + 0.387 * ra ** (1 / 6) / shape_of_prandtl(0.559, pr, 8 / 27)) ** 2


def curvature(ra, pr, slender):
    """Popiel: a standing cylinder over a plate of its height; `slender` is height by diameter."""
    b = 0.0571322 + 0.20305 * pr**-0.43
    c = 0.9165 - 0.0043 * math.sqrt(pr) + 0.01333 * math.log(pr) + 0.0004809 / pr
    return 1 + b * (math.sqrt(32) * (ra / pr) ** -0.25 * slender) ** c


def body(ra, pr):
    """Yovanovich and Jafarpur: any compact body; length is the root of its surface."""
    return 3.47 + 0.670 / shape_of_prandtl(0.5, pr, 4 / 9) * ra**0.25


def channel(el):
    """Bar-Cohen and Rohsenow: both walls of one temperature."""
    return (576 / el**2 + 2.87 / math.sqrt(el)) ** -0.5


def fins_up(ra):
    """Jones and Smith."""
    return 6.7e-4 * ra * (1 - math.exp(-((7460 / ra) ** 0.44))) ** 1.7


def film(surface, air, p=ATMOSPHERE):
    return Air(0.5 * (surface + air), p)


def body_transfer(area, surface, air, p=ATMOSPHERE):
    f, length = film(surface, air, p), math.sqrt(area)
    return body(f.rayleigh(surface - air) * length**3, f.Pr) * f.k / length


def face_transfer(face, surface, air, p=ATMOSPHERE):
    """W/m2K of one face; a face that looks up and is colder than the air is as one that looks down and is warmer."""
    f, kind = film(surface, air, p), face["kind"]
    r = f.rayleigh(surface - air)
    if kind == "vplate":
        length = face["L"]
        return upright_laminar(r * face.get("gc", 1.0) * length**3, f.Pr) * f.k / length
    if kind == "vcyl":
        length = face["L"]
        ra = r * length**3
        return upright_laminar(ra, f.Pr) * curvature(ra, f.Pr, length / face["D"]) * f.k / length
    if kind == "sphere":
        return sphere(r * face["D"] ** 3, f.Pr) * f.k / face["D"]
    length = face["Lc"]
    law = face_up if (kind == "up") == (surface >= air) else face_down
    return law(r * length**3, f.Pr) * f.k / length


def parallel(a, b, c):
    """View factor of two equal rectangles a x b, c apart."""
    x, y = a / c, b / c
    u, v = 1 + x * x, 1 + y * y
    inner = 0.5 * math.log(u * v / (u + v - 1))
    inner += x * math.sqrt(v) * math.atan(x / math.sqrt(v)) + y * math.sqrt(u) * math.atan(y / math.sqrt(u))
    return 2 / (math.pi * x * y) * (inner - x * math.atan(x) - y * math.atan(y))


def perpendicular(edge, width, height):
    """View factor from a rectangle of this width to one of this height that share an edge at a right angle."""
    h, w = height / edge, width / edge
    h2, w2 = h * h, w * w
    s = 1 + w2 + h2
    logs = math.log((1 + w2) * (1 + h2) / s)
    logs += w2 * math.log(w2 * s / ((1 + w2) * (w2 + h2))) + h2 * math.log(h2 * s / ((1 + h2) * (h2 + w2)))
    d = math.sqrt(h2 + w2)
    return (w * math.atan(1 / w) + h * math.atan(1 / h) - d * math.atan(1 / d) + 0.25 * logs) / (math.pi * w)


def channel_view(gap, height, length):
    """Mean view factor from two fins and the base between them out of the channel, by reciprocity of its openings."""
    own = length * (2 * height + gap)
    top, ends = gap * length, 2 * gap * height
    seen = top + ends - 4 * gap * length * perpendicular(gap, length, height) - ends * parallel(gap, height, length)
    return seen / own


class Fins:
    """A sink of plate fins; keys as in thermal/sink_defs.json."""

    def __init__(self, s, attached=None):
        for key in ("n", "t", "W", "L", "H", "tb", "k", "eps"):
            setattr(self, key, float(s[key]))
        self.attached = float(s["A_attached"]) if attached is None else attached
        self.gap = (self.W - self.n * self.t) / (self.n - 1)
        self.Hf = self.H - self.tb
        self.Lc = self.Hf + self.t / 2

    def convection(self, way, surface, air, p=ATMOSPHERE):
        """Number of the channel law, its W/m2K, fin efficiency, W/K by fins, by the envelope, the greater of both."""
        f = film(surface, air, p)
        r, top, rim = f.rayleigh(surface - air), self.L * self.W, 2 * self.H * (self.L + self.W)
        rear = top - self.attached
        h_body = body_transfer(2 * top + rim, surface, air, p)
        front = h_body
        if way == "down":
            length = top / (2 * (self.L + self.W))
            front = min(face_down(r * length**3, f.Pr) * f.k / length, h_body)
        envelope = front * top + h_body * (rim + rear)
        if way in ("down", "cross"):
            return 0.0, 0.0, 1.0, 0.0, envelope, envelope
        if way == "up":
            number = r * self.gap**3
            h, side = fins_up(number) * f.k / self.gap, h_body
        else:
            number = r * self.gap**4 / self.L
            h = channel(number) * f.k / self.gap
            side = upright_laminar(r * self.L**3, f.Pr) * f.k / self.L
        m = math.sqrt(2 * h / (self.k * self.t))
        eta = math.tanh(m * self.Lc) / (m * self.Lc)
        fins = (self.n - 1) * h * self.L * (2 * eta * self.Lc + self.gap)
        fins += side * (2 * self.L * self.Lc * eta + 2 * self.tb * (self.L + self.W)) + h_body * rear
        return number, h, eta, fins, envelope, max(fins, envelope)

    def view(self):
        return channel_view(self.gap, self.Hf, self.L)

    def effective(self):
        """Emissivity by area, m2."""
        own = self.L * (2 * self.Hf + self.gap)
        between = 1 / ((1 - self.eps) / (self.eps * own) + 1 / (own * self.view()))
        plain = self.n * self.t * self.L + 2 * self.n * self.t * self.Hf + 2 * self.Hf * self.L
        plain += 2 * self.tb * (self.L + self.W) + self.L * self.W - self.attached
        return (self.n - 1) * between + self.eps * plain


def spread_thick(source, plate, thickness, k, h):
    """Lee, Song, Au and Moran: to the hottest point, K/W."""
    a, b = math.sqrt(source / math.pi), math.sqrt(plate / math.pi)
    e, tau, bi = a / b, thickness / b, h * b / k
    lam = math.pi + 1 / (math.sqrt(math.pi) * e)
    phi = (math.tanh(lam * tau) + lam / bi) / (1 + lam / bi * math.tanh(lam * tau))
    return (1 - e) * phi / (math.pi * k * a)


def spread_thin(source, sheet, thickness, k, h):
    """A disc on a thin sheet that loses h per area: resistance above that of the whole sheet, K/W."""
    a, b = math.sqrt(source / math.pi), math.sqrt(sheet / math.pi)
    m = math.sqrt(h / (k * thickness))
    u, v = m * a, m * b
    edge = (i0(u) * k1(v) + k0(u) * i1(v)) / (2 * math.pi * k * thickness * u * (k1(u) * i1(v) - i1(u) * k1(v)))
    return 1 / (1 / edge + h * math.pi * a * a) - 1 / (h * math.pi * b * b)


def vent(v, inside, room, p=ATMOSPHERE, viscous=True):
    """Flow kg/s, pressure Pa, height of the neutral level m, heat W of two levels of holes."""
    if inside <= room:
        return 0.0, 0.0, 0.0, 0.0
    outer, inner = Air(room, p), Air(inside, p)
    dp = G * v["Hn"] * (outer.rho - inner.rho)

    def level(air, area, d):
        loss = 37.7 + 64 * v["t"] / d
        return (loss * air.mu / (2 * air.rho * area * d) if viscous else 0.0), 1 / (2 * air.rho * (v["Cd"] * area) ** 2)

    a1, b1 = level(outer, v["A1"], v["d1"])
    a2, b2 = level(inner, v["A2"], v["d2"])
    a, b = a1 + a2, b1 + b2
    flow = 2 * dp / (a + math.sqrt(a * a + 4 * b * dp))
    return flow, dp, v["Hn"] * (a1 * flow + b1 * flow * flow) / dp, flow * inner.cp * (inside - room)
