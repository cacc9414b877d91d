"""Writes cutouts.csv: areas and perimeters of keyholes, slots, tabs and paths of lines and arcs, and of their offsets.

Run with shapely 2.1.2 (`pip install shapely==2.1.2`): `python cutouts.py > mains/cutouts.csv`.
Lengths in mm. Arcs are chords of two thousandths of a radian on the true circle. Positive `r` is outwards: corners
outside become arcs (round joins), inside corners stay sharp; negative is inwards, the other way round.
"""
import math
import shapely
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon, box

assert shapely.__version__ == "2.1.2", shapely.__version__
Q = 1024


def path(corners):
    """The run through corners (x, y[, radius]); an arc of the radius leads to its corner, positive to the left."""
    points = []
    for (x0, y0, *_), (x, y, *radius) in zip(corners, corners[1:] + corners[:1]):
        points.append((x0, y0))
        if not radius:
            continue
        r, chord = radius[0], math.hypot(x - x0, y - y0)
        half = math.asin(min(1.0, chord / 2 / abs(r)))
        # The centre lies left of the way for an arc that turns left.
        away = math.sqrt(max(0.0, r * r - chord * chord / 4)) * math.copysign(1, r)
        cx = (x0 + x) / 2 - away * (y - y0) / chord
        cy = (y0 + y) / 2 + away * (x - x0) / chord
        start, sweep = math.atan2(y0 - cy, x0 - cx), math.copysign(2 * half, r)
        n = max(2, int(abs(sweep) / 2e-3))
        points += [(cx + abs(r) * math.cos(start + sweep * k / n), cy + abs(r) * math.sin(start + sweep * k / n))
                   for k in range(1, n)]
    return Polygon(points)


def keyhole(head, neck, reach):
    half, start = neck / 2, math.sqrt(head * head / 4 - neck * neck / 4)
    # The large arc round the head in two, so that each is less than half a circle.
    return path([(start, half), (-head / 2, 0, head / 2), (start, -half, head / 2), (reach, -half), (reach, half, half)])


def tab(edge, width, reach, corner, root, outline, angle):
    """A rectangle on the edge with rounded outer corners; `root` by closing the whole (out and back)."""
    far, half = edge + reach, width / 2
    tip = box(0, -half, far - corner, half).union(box(0, -half + corner, far, half - corner))
    for side in (-1, 1):
        tip = tip.union(Point(far - corner, side * (half - corner)).buffer(corner, quad_segs=Q))
    whole = outline.union(affinity.rotate(tip, angle, origin=(0, 0)))
    if root > 0:
        whole = grown(grown(whole, root), -root)
    return whole


def grown(shape, r):
    """The shape with, or without, all that lies within |r| of its edge.

    Edge by edge: the library's buffer of a whole polygon drops dense vertices of concave arcs before it works.
    """
    points = list(shape.exterior.coords)
    strips = [LineString(pair).buffer(abs(r), quad_segs=256) for pair in zip(points, points[1:])]
    strip = shapely.union_all(strips)
    return shape.union(strip) if r > 0 else shape.difference(strip)


SHAPES = [
    ("keyhole", keyhole(9, 4.5, 12)),
    ("keyhole wide", keyhole(8, 7, 6)),
    ("bow out", path([(0, 0), (20, 0), (20, 10, 5), (0, 10)])),
    ("bow in", path([(0, 0), (40, 0), (40, 30, -20), (0, 30)])),
    ("reflex", path([(0, 0), (60, 0), (60, 20), (30, 20, -18), (20, 40), (0, 40, 25)])),
    ("lens", path([(-15, 0, 20), (15, 0, 20)])),
    ("tab square", tab(30, 20, 12, 3, 0, box(-50, -30, 50, 30), 90)),
    ("tab rooted", tab(30, 20, 12, 3, 4, box(-50, -30, 50, 30), 90)),
    ("ear on disc", tab(50, 16, 9, 8, 2, Point(0, 0).buffer(50, quad_segs=Q), 30)),
]

print("shape,r,area,perimeter,path_area,path_perimeter")
for name, shape in SHAPES:
    for r in (0.1, 1.0, -0.5, -1.5875):
        off = grown(shape, r)
        assert off.geom_type == "Polygon" and not off.is_empty, (name, r)
        print(f"{name},{r},{shape.area:.5f},{shape.length:.5f},{off.area:.5f},{off.length:.5f}")
