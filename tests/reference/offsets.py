"""Writes offsets.csv: areas and perimeters of plates and of their offset paths, by polygons with 1024 segments a quadrant.

Run with shapely 2.1.2 (`pip install shapely==2.1.2`): `python offsets.py > mains/offsets.csv`.
Lengths in mm. `outer` is the area and perimeter of the outside offset outwards by r, `hole` the sum over holes
offset inwards by r. Corners outside become arcs (round joins), corners inside stay sharp.
"""
import math
import shapely
from shapely import affinity
from shapely.geometry import Point, box

assert shapely.__version__ == "2.1.2", shapely.__version__
Q = 1024


def disc(d, x=0.0, y=0.0):
    """A disc with the area of a true circle, so that the chords do not count as an error."""
    n = 4 * Q
    exact = d / 2 * math.sqrt(2 * math.pi / (n * math.sin(2 * math.pi / n)))
    return Point(x, y).buffer(exact, quad_segs=Q)


def rectangle(w, h, r=0.0):
    if r == 0.0:
        return box(-w / 2, -h / 2, w / 2, h / 2)
    return box(-w / 2 + r, -h / 2 + r, w / 2 - r, h / 2 - r).buffer(r, quad_segs=Q)


def notch(edge, w, depth, radius, angle):
    """The tool of the notch: a pocket from `edge - depth` to far outside, its two inner corners rounded."""
    inner = edge - depth
    long = box(inner, -w / 2, edge + 500, w / 2)
    if radius > 0:
        long = long.buffer(-radius).buffer(radius, quad_segs=Q)
    return affinity.rotate(long, angle, origin=(0, 0))


def bolts(n, pcd, d, first):
    at = [first + 360 * k / n for k in range(n)]
    return [disc(d, pcd / 2 * math.cos(math.radians(a)), pcd / 2 * math.sin(math.radians(a))) for a in at]


PLATES = [
    ("disc notched", disc(200).difference(notch(100, 12, 6, 2, 90)), []),
    ("disc notched twice", disc(150).difference(notch(75, 8, 5, 1.6, 0)).difference(notch(75, 8, 5, 1.6, 120)), []),
    ("disc sharp notch", disc(120).difference(notch(60, 10, 4, 0, 45)), []),
    ("rectangle notched", rectangle(120, 80, 10).difference(notch(40, 20, 8, 3, 90)), []),
    ("disc with bolts", disc(200), bolts(4, 180, 4.2, 45)),
    ("ring", disc(200), [disc(80)]),
    ("plate with slot", rectangle(100, 60, 5), [rectangle(30, 6, 3)]),
    ("plate with window", rectangle(100, 60, 5), [rectangle(40, 20)]),
]

print("plate,r,area,outer_perimeter,outer_path_area,outer_path_perimeter,hole_path_area,hole_path_perimeter,left_standing")
for name, outer, holes in PLATES:
    for r in (0.1, 0.5, 1.5875):
        path = outer.buffer(r, quad_segs=Q)
        inner = [h.buffer(-r, quad_segs=Q) for h in holes]
        back = [p.buffer(r, quad_segs=Q) for p in inner]
        left = path.buffer(-r, quad_segs=Q).area - outer.area
        left += sum(h.area - b.area for h, b in zip(holes, back))
        row = [outer.area - sum(h.area for h in holes), outer.length, path.area, path.length,
               sum(p.area for p in inner), sum(p.length for p in inner), left]
        print(f"{name},{r}," + ",".join(f"{v:.5f}" for v in row))
