"""An outside judge of geometry.

Reads models as `casewright model` prints them and builds every part anew with a general library for
solids (manifold3d): the sawn box less its cuts. Knows nothing of how the program computes. Says of each
file what disagrees, and ends with 1 if anything does:

- the volume of each part, within 1e-6 of it;
- no two parts of a piece share space. A file made for the purpose lists what they do share (`shared`:
  pairs of parts and the volume), which must then agree;
- the area of each joint's contact, as seen from each side: what of `a` is within `b` when `a` moves by a
  hair toward that side.

    judge.py FILE.json ...
"""

import json
import math
import sys
from fractions import Fraction

import numpy
from manifold3d import CrossSection, Error, FillRule, Manifold

EDGES = ["left", "right", "front", "rear", "bottom", "top"]
LOCAL = {"length": 0, "width": 1, "thickness": 2}
SURFACES = {
    "end": (0, False),
    "far_end": (0, True),
    "edge": (1, False),
    "far_edge": (1, True),
    "face": (2, False),
    "reverse": (2, True),
}
# Sides of the prism that stands for a cylinder, which has the circle's area.
ROUND = 256
# How far a part is moved to feel what it lies on, millimetres: less than any gap, more than what the
# rounding of floats does to slanted faces.
HAIR = 0.04


def mm(length):
    """A length as the fraction that it is: places that are the same must be the same float too."""
    return Fraction(length["exact"].removesuffix("mm"))


def axis_of(edge):
    return EDGES.index(edge) // 2


def is_high(edge):
    return EDGES.index(edge) % 2 == 1


def spread(unit, lo, hi):
    """A solid between 0 and 1 along some axes, taken to lie between two places along each of them."""

    def place(points):
        points = points.copy()
        for i, (low, high) in enumerate(zip(lo, hi)):
            if low is not None:
                points[:, i] = numpy.where(points[:, i] < 0.5, float(low), float(high))
        return points

    return unit.warp_batch(place)


def box(lo, hi):
    if any(h <= l for l, h in zip(lo, hi)):
        return Manifold()
    return spread(Manifold.cube([1, 1, 1]), lo, hi)


class Frame:
    """Where a point of a part lies in the piece."""

    def __init__(self, part):
        self.lo = [mm(l) for l in part["core"]["lo"]]
        self.hi = [mm(l) for l in part["core"]["hi"]]
        lay = part["lay"]
        self.near = [lay["end"], lay["edge"], lay["face"]]

    def place(self, local):
        spot = [Fraction(0)] * 3
        for edge, distance in zip(self.near, local):
            i = axis_of(edge)
            spot[i] = self.hi[i] - distance if is_high(edge) else self.lo[i] + distance
        return spot

    def between(self, a, b):
        a, b = self.place(a), self.place(b)
        return [min(p) for p in zip(a, b)], [max(p) for p in zip(a, b)]


def box_of(frame, solid):
    return box(*frame.between([mm(l) for l in solid["lo"]], [mm(l) for l in solid["hi"]]))


def standing(section, along, lo, hi):
    """A section in the two other axes, in their order, as a prism along an axis."""
    prism = spread(section.extrude(1), [None, None, lo], [None, None, hi])
    others = [i for i in range(3) if i != along]
    turn = numpy.zeros((3, 4))
    for column, axis in enumerate([*others, along]):
        turn[axis, column] = 1
    return prism.transform(turn)


def bore_of(frame, solid):
    axis, far = SURFACES[solid["entry"]]
    mouth = [mm(l) for l in solid["mouth"]]
    end = list(mouth)
    end[axis] += -mm(solid["depth"]) if far else mm(solid["depth"])
    lo, hi = frame.between(mouth, end)
    along = axis_of(frame.near[axis])
    same_area = math.sqrt(2 * math.pi / ROUND / math.sin(2 * math.pi / ROUND))
    circle = CrossSection.circle(float(mm(solid["diameter"])) / 2 * same_area, ROUND)
    middle = [float(l) for i, l in enumerate(lo) if i != along]
    return standing(circle.translate(middle), along, lo[along], hi[along])


def prism_of(frame, solid):
    axis = LOCAL[solid["axis"]]
    others = [i for i in range(3) if i != axis]
    along = axis_of(frame.near[axis])

    if solid["far"]:
        # Bounded by planes: the hull of the corners of its ends.
        points = []
        for end, outline in (("lo", solid["outline"]), ("hi", solid["far"])):
            for corner in outline:
                local = [Fraction(0)] * 3
                local[others[0]], local[others[1]], local[axis] = mm(corner[0]), mm(corner[1]), mm(solid[end])
                points.append([float(p) for p in frame.place(local)])
        return Manifold.hull_points(numpy.array(points))

    def spot(corner, w):
        local = [Fraction(0)] * 3
        local[others[0]], local[others[1]], local[axis] = corner[0], corner[1], w
        return frame.place(local)

    corners = [[mm(c) for c in corner] for corner in solid["outline"]]
    ends = [spot(corners[0], mm(solid[end]))[along] for end in ("lo", "hi")]
    outline = [spot(corner, 0) for corner in corners]
    outline = numpy.array([[float(s[i]) for i in range(3) if i != along] for s in outline])
    section = CrossSection([outline], FillRule.EvenOdd)
    if section.is_empty():
        return Manifold()

    # A section is kept in steps of its own; its corners are put back where they were.
    def exact(point):
        near = outline[numpy.argmin(numpy.abs(outline - point).sum(axis=1))]
        return near if numpy.abs(near - point).sum() < 1e-6 else point

    section = section.warp(lambda point: tuple(exact(numpy.array(point))))
    return standing(section, along, min(ends), max(ends))


def wood(part, bores=True):
    frame = Frame(part)
    out = box(frame.lo, frame.hi)
    cuts = []
    # A part at 45 degrees is the box round it less what is off.
    for solids in [part["aslant"], *(cut["solids"] for cut in part["cuts"])]:
        for solid in solids:
            ((kind, value),) = solid.items()
            if kind == "bore" and not bores:
                continue
            cuts.append({"box": box_of, "bore": bore_of, "prism": prism_of}[kind](frame, value))
    for cut in cuts:
        out = out - cut
    if out.status() != Error.NoError:
        raise ValueError(f"{part['path']} can't be built: {out.status()}")
    return out


def bounds_meet(a, b):
    (p, q) = (a.bounding_box(), b.bounding_box())
    return all(p[i] < q[i + 3] and q[i] < p[i + 3] for i in range(3))


def contact(a, b, edge):
    """The area of `a` that lies on `b`, seen from a side: the two hairs take out what grows faster."""

    def within(hair):
        by = [0.0, 0.0, 0.0]
        by[axis_of(edge)] = hair if is_high(edge) else -hair
        return (a.translate(by) ^ b).volume() / hair

    return 2 * within(HAIR / 2) - within(HAIR)


def judge(name, model):
    faults = []
    counts = [0, 0, 0]
    for piece, measured in zip(model["pieces"], model["measured"], strict=True):
        parts = piece["parts"]
        solids = [wood(part) for part in parts]
        for part, solid, said in zip(parts, solids, measured["parts"], strict=True):
            counts[0] += 1
            found = solid.volume()
            if not math.isclose(found, said["volume"], rel_tol=1e-6):
                faults.append(f"{part['path']}: volume {found}, said to be {said['volume']}")
        shared = {(a, b): volume for a, b, volume in measured.get("shared", [])}
        for i, a in enumerate(solids):
            for j in range(i):
                b = solids[j]
                said = shared.get((j, i), 0.0)
                found = (a ^ b).volume() if bounds_meet(a, b) else 0.0
                counts[1] += 1
                if not math.isclose(found, said, rel_tol=1e-6, abs_tol=1e-3):
                    pair = f"{parts[j]['path']} and {parts[i]['path']}"
                    faults.append(f"{pair} share {found} mm3, said to be {said}")
        whole = {}
        for joint, said in zip(piece["joints"], measured["joints"], strict=True):
            a, b = [whole.setdefault(i, wood(parts[i], False)) for i in (joint["a"], joint["b"])]
            for edge in EDGES:
                counts[2] += 1
                found = contact(a, b, edge)
                if not math.isclose(found, said[edge], rel_tol=1e-6, abs_tol=1e-2):
                    pair = f"{parts[joint['a']]['path']} on {parts[joint['b']]['path']}"
                    faults.append(f"{pair}, {edge}: {found} mm2, said to be {said[edge]}")
    print(f"{name}: {counts[0]} parts, {counts[1]} pairs, {counts[2]} faces of joints")
    for fault in faults:
        print(f"{name}: {fault}")
    return bool(faults)


def main(files):
    faulty = False
    for name in files:
        with open(name, encoding="utf-8") as file:
            faulty |= judge(name, json.load(file))
    return 1 if faulty else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
