"""The pages of a layout on a desk put together as a trainee does it: sheets by their registration marks, the half outline's
parts by the names at their edges. Positions come from vector paths, names from the text beside them."""

import itertools
import math
import re
from dataclasses import dataclass, field
from fractions import Fraction

import numpy as np
from shapely.geometry import LineString, box
from shapely.ops import polygonize

import vectors

# How a sheet lies: front up (floor y to the left), front to the right.
TURNS = [np.array([[0.0, -1.0], [1.0, 0.0]]), np.eye(2)]

# Coordinates of registration marks are printed to a tenth of a millimetre, those of marks to a whole one: half of that along
# both axes, and a little for the drawing.
REGISTRATION_MM = 0.1
MARK_MM = 0.8

# In inches both are printed to 1/16 in: each lies up to 0.8 mm off along both axes, and so does the one it is placed by.
INCH_MM = 2.3
INCH = 25.4

# Stroke widths of the body's own edge and of a wheel, mm (ISO 128), and how near a stroke comes to its width.
EDGE_WIDTH, WHEEL_WIDTH, WIDTH_MM = 0.5, 0.35, 0.02

NUMBER = r"\d+(?:\.\d+)?(?: \d+/\d+)?|\d+/\d+"
# "1760 forward", "at 0"; "1286 left", "on centreline"; "3 1/16 in forward"; on one line or on two.
ALONG = rf"(?:at 0|({NUMBER})(?: (?:mm|in))? (forward|rearward))"
ACROSS = rf"(?:on cent(?:re|er)line|({NUMBER})(?: (?:mm|in))? (left|right))"
PLACE = re.compile(rf"{ALONG},? {ACROSS}")
OPPOSITE = {"◂": "▸", "▸": "◂", "▴": "▾", "▾": "▴"}
SIDES = {"◂": 0, "▾": 1, "▸": 2, "▴": 3}


@dataclass
class Tile:
    """One sheet: its label, and where registration marks and marks lie on its page, mm."""

    label: str
    registration: dict
    marks: dict
    names: list
    circles: int


@dataclass
class Kit:
    """Everything that one exercise hands out."""

    number: int
    scale: int
    tiles: list = field(default_factory=list)
    outline: list = field(default_factory=list)
    grids: list = field(default_factory=list)
    maps: int = 0
    pages: int = 0

    def assembled(self):
        """Mark → its places on the mat, one for each sheet that shows it: each sheet is laid on those that lie by two
        registration marks of the same names."""
        laid = {0: (np.eye(2), np.zeros(2))}
        open_ = [0]
        while open_:
            under = open_.pop()
            turn, shift = laid[under]
            for over, tile in enumerate(self.tiles):
                shared = sorted(set(tile.registration) & set(self.tiles[under].registration))
                if over in laid or len(shared) < 2:
                    continue
                there = [turn @ self.tiles[under].registration[name] + shift for name in shared]
                laid[over] = rigid([tile.registration[name] for name in shared], there)
                open_.append(over)
        assert len(laid) == len(self.tiles), "sheets do not hang together"
        places = {}
        for index, tile in enumerate(self.tiles):
            turn, shift = laid[index]
            for name, at in tile.marks.items():
                places.setdefault(name, []).append(turn @ at + shift)
        return places


def rigid(here, there):
    """Turn and shift that bring points onto others, no mirror image (Kabsch)."""
    here, there = np.array(here), np.array(there)
    a, b = here.mean(axis=0), there.mean(axis=0)
    u, _, vt = np.linalg.svd((here - a).T @ (there - b))
    turn = vt.T @ np.diag([1, np.sign(np.linalg.det(vt.T @ u.T))]) @ u.T
    return turn, b - turn @ a


def read(path, inches=False):
    """The kits of `exercises.pdf`, one after the other."""
    kits = []
    for page in vectors.read(path):
        texts = [text.content for text in page.texts]
        joined = " ".join(texts)
        if texts[0].startswith("The floor on a desk"):
            kits.append(Kit(int(re.search(r"Sheet (\d+) · level", joined)[1]), 0))
        elif found := re.search(r"Blank grid: exercise (\d+), 1:(\d+)", joined):
            assert int(found[1]) == kits[-1].number
            kits[-1].grids.append(page)
        elif found := re.search(r"How the sheets go together: exercise (\d+), 1:(\d+)", joined):
            assert int(found[1]) == kits[-1].number
            kits[-1].scale = int(found[2])
            kits[-1].maps += 1
        elif "Vehicle outline 1:" in joined:
            assert f"exercise {kits[-1].number}" in joined
            kits[-1].outline.append(page)
        elif re.search(r"sheet \d+ of \d+", joined):
            assert f"exercise {kits[-1].number}, 1:{kits[-1].scale}" in joined
            kits[-1].tiles.append(tile(page, inches))
        else:
            assert "continued" in joined, f"a page of no kind: {joined[:80]}"
        kits[-1].pages += 1
    return kits


def length(text):
    """A number in mm or in inches, "3 1/16"."""
    return float(sum(Fraction(part) for part in text.split()))


def placed(texts, inches):
    """Names of marks and of registration marks with the coordinates printed below them, in the order of drawing."""
    found = []
    for index, text in enumerate(texts):
        if not re.fullmatch(r"r\d+|\d+[LCR]\d*|[A-Z]\w*", text):
            continue
        after = texts[index + 1:index + 3]
        place = PLACE.fullmatch(after[0]) or PLACE.fullmatch(" ".join(after)) if after else None
        if not place:
            if re.fullmatch(r"r\d+|\d+[LCR]\d*", text):
                found.append((text, None))
            continue
        x, way, y, side = place.groups()
        signs = {"rearward": -1.0, "right": -1.0}
        at = np.array([length(x or "0") * signs.get(way, 1.0), length(y or "0") * signs.get(side, 1.0)])
        found.append((text, at * INCH if inches else at))
    return found


def tile(page, inches=False):
    """Reads one sheet. Which circle belongs to which name follows from the printed place, under the one turn and shift that
    brings all of them onto circles."""
    texts = [text.content for text in page.texts]
    label = re.search(r"sheet (\d+) of \d+", " ".join(texts))[1]
    names = placed(texts, inches)
    registration_mm, mark_mm = (INCH_MM, INCH_MM) if inches else (2 * REGISTRATION_MM, MARK_MM)
    circles = [np.array([c.x, c.y]) for c, d in vectors.circles(page, "registration") if abs(d - 4.0) < 0.05]
    centres = [np.array([c.x, c.y]) for c, _ in vectors.circles(page, "marks")]
    known = [(name, at) for name, at in names if name.startswith("r") and at is not None]
    best = None
    # A crowded sheet may print no place of a registration mark; its marks then say how it lies, less finely.
    named = [(name, at) for name, at in names if not name.startswith("r") and at is not None]
    anchors, drawn, reach = (known, circles, mark_mm) if known else (named, centres, 2 * mark_mm)
    for turn, (_, at), circle in itertools.product(TURNS, anchors, drawn):
        shift = circle - turn @ at
        fit = {name: near(circles, turn @ place + shift, registration_mm) for name, place in known}
        fit = {name: centre for name, centre in fit.items() if centre is not None}
        score = len(fit) + sum(near(centres, turn @ at + shift, reach) is not None for _, at in named)
        if best is None or score > best[3]:
            best = (turn, shift, fit, score)
    if not anchors:
        # Nothing but names; each belongs to the circle beside it, and there is no mark to be placed.
        best = (np.eye(2), np.zeros(2), {}, 0)
    assert best, f"sheet {label} prints no place"
    turn, shift, registration, _ = best
    assert len(registration) == len(known), f"sheet {label}: {sorted({n for n, _ in known} - set(registration))} lie elsewhere"
    # Names without room for their places belong to the nearest circles that are left.
    bare = [name for name, at in names if name.startswith("r") and at is None]
    assert len(circles) == len(known) + len(bare), f"sheet {label}: a registration mark without a name"
    registration.update(beside(page, bare, circles, registration))
    if inches and known:
        # Places to 1/16 in would turn the sheet where two registration marks are near each other: their mean alone is used.
        shift = np.mean([registration[name] - turn @ at for name, at in known], axis=0)
    elif len(known) > 1:
        turn, shift = rigid([at for name, at in known], [registration[name] for name, _ in known])
    marks = {}
    for name, at in names:
        if not name.startswith("r") and at is not None:
            centre = near(centres, turn @ at + shift, reach)
            if centre is not None:
                assert name not in marks
                marks[name] = centre
    bare = [name for name, at in names if not name.startswith("r") and at is None]
    marks.update(beside(page, bare, centres, marks))
    written = [name for name, at in names if not name.startswith("r")]
    return Tile(label, registration, marks, written, len(centres))


def beside(page, names, centres, taken):
    """Which of the centres that are not taken each name of a page stands beside: those nearest to their names."""
    left = [c for c in centres if not any(c is other for other in taken.values())]
    assert len(left) >= len(names), f"a name without a circle among {names}"
    stands = {text.content: np.array(text.box.centroid.coords[0]) for text in page.texts if text.content in names}
    orders = itertools.permutations(left, len(names))
    nearest = min(orders, key=lambda order: sum(np.hypot(*(stands[name] - at)) for name, at in zip(names, order)))
    return dict(zip(names, nearest))


def near(points, at, distance):
    """The nearest of some points, when it is near enough."""
    nearest = min(points, key=lambda point: math.dist(point, at), default=None)
    return nearest if nearest is not None and math.dist(nearest, at) < distance else None


@dataclass
class Outline:
    """The half outline's parts edge to edge, turned so that x is forward and y left and its inner edge lies on y = 0, its front
    end at x = 0."""

    parts: list
    edges: list
    wheels: list
    ticks: list
    left: bool
    length: float
    width: float


def rectangles(strokes):
    """Strokes that hang together, each group with its extent: x0, y0, x1, y1."""
    groups = []
    for stroke in strokes:
        points = np.array([p for run in stroke.runs for p in run])
        touching = [group for group in groups if any(np.hypot(*(p - q)) < 0.05 for p in points for q in group[1])]
        merged = ([stroke], list(points))
        for group in touching:
            merged = (merged[0] + group[0], merged[1] + group[1])
            groups = [one for one in groups if one is not group]
        groups.append(merged)
    return [(own, np.concatenate([np.min(points, axis=0), np.max(points, axis=0)])) for own, points in groups]


def outline(pages):
    """Puts the parts of a half together by the names at their dashed edges."""
    parts, inner, ahead = {}, {}, None
    for page in pages:
        own = [s for s in page.strokes if s.layer == "vehicle" and abs(s.width - EDGE_WIDTH) < WIDTH_MM]
        dashed = [s for s in page.strokes if s.layer == "registration" and s.dashed]
        for strokes, rect in rectangles(own + dashed):
            within = [t for t in page.texts if box(*rect).contains(t.box.centroid)]
            (name,) = [t.content for t in within if re.fullmatch(r"V\d+", t.content)]
            joins = dict(found for t in within if (found := joint(t.content)))
            (words,) = [t for t in within if re.match("cent(re|er)line: lay this edge", t.content)]
            inner[name] = np.array(words.box.centroid.coords[0])
            front = next(t for t in within if t.content == "FRONT")
            parts[name] = (page, rect, joins, [s for s in strokes if s.layer == "vehicle"])
            assert front is not None
            side = (parts[name][1][2:] - parts[name][1][:2])
            ahead = np.array([0.0, 1.0]) if words.box.bounds[3] - words.box.bounds[1] > words.box.bounds[2] - words.box.bounds[0] else np.array([1.0, 0.0])
            assert side.min() > 0
    shifts = {"V1": np.zeros(2)}
    open_ = ["V1"]
    while open_:
        name = open_.pop()
        _, here, joins, _ = parts[name]
        for arrow, other in joins.items():
            there, back = parts[other][1], parts[other][2]
            assert back[OPPOSITE[arrow]] == name, f"{name} names {other}, {other} does not name {name}"
            side, facing = SIDES[arrow], SIDES[OPPOSITE[arrow]]
            along = 1 - side % 2
            shift = np.zeros(2)
            shift[side % 2] = here[side] - there[facing]
            shift[along] = here[along] - there[along]
            shift += shifts[name]
            if other in shifts:
                assert np.allclose(shifts[other], shift, atol=0.02)
            else:
                shifts[other] = shift
                open_.append(other)
    assert set(shifts) == set(parts), "parts do not hang together"
    rects = {name: rect + np.tile(shifts[name], 2) for name, (_, rect, _, _) in parts.items()}
    low, high = np.min([r[:2] for r in rects.values()], axis=0), np.max([r[2:] for r in rects.values()], axis=0)
    # Forward is x; the words stand at the inner edge.
    turn = np.eye(2) if ahead[0] else np.array([[0.0, 1.0], [-1.0, 0.0]])
    corners = np.array([turn @ low, turn @ high])
    front, (y0, y1) = corners[:, 0].max(), sorted(corners[:, 1])
    word = turn @ (inner["V1"] + shifts["V1"])
    left = abs(word[1] - y0) < abs(word[1] - y1)
    origin = np.array([front, y0 if left else y1])
    found = Outline([], [], [], [], left, np.ptp(corners[:, 0]), y1 - y0)
    wheels = []
    for name, (page, rect, _, own) in parts.items():
        def moved(point):
            return turn @ (np.array(point) + shifts[name]) - origin

        def lines(strokes):
            return [LineString([moved(p) for p in pair]) for s in strokes for pair in s.segments()]

        here = box(*rect).buffer(0.1)
        inside = [s for s in page.strokes if here.contains(LineString([p for run in s.runs for p in run]))]
        corner, far = moved(rect[:2]), moved(rect[2:])
        found.parts.append(box(*np.minimum(corner, far), *np.maximum(corner, far)))
        found.edges += lines(own)
        wheels += lines(s for s in inside if s.layer == "vehicle" and abs(s.width - WHEEL_WIDTH) < WIDTH_MM)
        found.ticks += lines(s for s in inside if s.layer == "registration" and not s.dashed)
    found.wheels = sorted(polygonize(_welded(wheels)), key=lambda wheel: -wheel.centroid.x)
    return found


def joint(text):
    found = re.fullmatch(r"([◂▴▾]) (V\d+)|(V\d+) (▸)", text)
    return found and ((found[1], found[2]) if found[1] else (found[4], found[3]))


def _welded(lines):
    """Ends rounded to a hundredth of a millimetre, so that pieces from two pages meet, and split where they meet."""
    from shapely import unary_union

    return unary_union([LineString([(round(x, 2), round(y, 2)) for x, y in line.coords]) for line in lines if line.length > 0.02])
