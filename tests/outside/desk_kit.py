"""The pages of a layout on a desk put together as a trainee does it: sheets by their registration marks, the outline's parts
by the names at their edges. Positions come from vector paths, names from the text beside them."""

import itertools
import math
import re
from dataclasses import dataclass, field

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

# Stroke widths of the body's own edge and of a wheel, mm (ISO 128), and how near a stroke comes to its width.
EDGE_WIDTH, WHEEL_WIDTH, WIDTH_MM = 0.5, 0.35, 0.02

NUMBER = r"\d+(?:\.\d+)?"
# "1760 forward", "at 0"; "1286 left", "on centreline"; on one line or on two.
ALONG = rf"(?:at 0|({NUMBER})(?: mm)? (forward|rearward))"
ACROSS = rf"(?:on centreline|({NUMBER})(?: mm)? (left|right))"
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
    maps: int = 0

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


def read(path):
    """The kits of `exercises.pdf`, one after the other."""
    kits = []
    for page in vectors.read(path):
        texts = [text.content for text in page.texts]
        joined = " ".join(texts)
        if texts[0].startswith("The floor on a desk"):
            kits.append(Kit(int(re.search(r"Sheet (\d+) · level", joined)[1]), 0))
        elif found := re.search(r"How the sheets go together: exercise (\d+), 1:(\d+)", joined):
            assert int(found[1]) == kits[-1].number
            kits[-1].scale = int(found[2])
            kits[-1].maps += 1
        elif "Vehicle outline 1:" in joined:
            assert f"exercise {kits[-1].number}" in joined
            kits[-1].outline.append(page)
        elif re.search(r"sheet \d+ of \d+", joined):
            assert f"exercise {kits[-1].number}, 1:{kits[-1].scale}" in joined
            kits[-1].tiles.append(tile(page))
    return kits


def placed(texts):
    """Names of marks and of registration marks with the coordinates printed below them, in the order of drawing."""
    found = []
    for index, text in enumerate(texts):
        if not re.fullmatch(r"r\d+|\d+[LCR]\d*|[A-Z]\w*", text):
            continue
        after = texts[index + 1:index + 3]
        place = PLACE.fullmatch(after[0]) or PLACE.fullmatch(" ".join(after)) if after else None
        if not place:
            if text.startswith("r"):
                found.append((text, None))
            continue
        x, way, y, side = place.groups()
        signs = {"rearward": -1.0, "right": -1.0}
        found.append((text, np.array([float(x or 0) * signs.get(way, 1.0), float(y or 0) * signs.get(side, 1.0)])))
    return found


def tile(page):
    """Reads one sheet. Which circle belongs to which name tells the printed place, under the one turn and shift that
    brings all of them onto circles."""
    texts = [text.content for text in page.texts]
    label = re.search(r"sheet (\d+) of \d+", " ".join(texts))[1]
    names = placed(texts)
    circles = [np.array([c.x, c.y]) for c, d in vectors.circles(page, "registration") if abs(d - 4.0) < 0.05]
    centres = [np.array([c.x, c.y]) for c, _ in vectors.circles(page, "marks")]
    known = [(name, at) for name, at in names if name.startswith("r") and at is not None]
    best = None
    # A crowded sheet may print no place of a registration mark; its marks then say how it lies, less finely.
    named = [(name, at) for name, at in names if not name.startswith("r") and at is not None]
    anchors, drawn, reach = (known, circles, MARK_MM) if known else (named, centres, 2 * MARK_MM)
    for turn, (_, at), circle in itertools.product(TURNS, anchors, drawn):
        shift = circle - turn @ at
        fit = {name: near(circles, turn @ place + shift, 2 * REGISTRATION_MM) for name, place in known}
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
    left = [c for c in circles if not any(c is taken for taken in registration.values())]
    bare = [name for name, at in names if name.startswith("r") and at is None]
    assert len(left) == len(bare), f"sheet {label}: {len(left)} registration marks without a name"
    stands = {text.content: np.array(text.box.centroid.coords[0]) for text in page.texts if text.content in bare}
    orders = itertools.permutations(left)
    nearest = min(orders, key=lambda order: sum(np.hypot(*(stands[name] - at)) for name, at in zip(bare, order)))
    registration.update(zip(bare, nearest))
    turn, shift = rigid([at for name, at in known], [registration[name] for name, _ in known]) if len(known) > 1 else (turn, shift)
    marks = {}
    for name, at in names:
        if not name.startswith("r") and at is not None:
            centre = near(centres, turn @ at + shift, reach)
            if centre is not None:
                assert name not in marks
                marks[name] = centre
    written = [name for name, at in names if not name.startswith("r") and at is not None]
    return Tile(label, registration, marks, written, len(centres))


def near(points, at, distance):
    """The nearest of some points, when it is near enough."""
    nearest = min(points, key=lambda point: math.dist(point, at), default=None)
    return nearest if nearest is not None and math.dist(nearest, at) < distance else None


@dataclass
class Outline:
    """The outline's parts edge to edge: their rectangles, the body's own edges, and the wheels."""

    parts: list
    edges: list
    wheels: list
    ticks: list


def outline(pages):
    """Puts the parts together by the names at their dashed edges."""
    parts = {}
    for page in pages:
        name = re.search(r"part (V\d+) of", " ".join(t.content for t in page.texts))[1]
        own = [s for s in page.strokes if s.layer == "vehicle" and abs(s.width - EDGE_WIDTH) < WIDTH_MM]
        dashed = [s for s in page.strokes if s.layer == "registration" and s.dashed]
        points = np.array([p for s in own + dashed for run in s.runs for p in run])
        joins = dict(found for t in page.texts if (found := joint(t.content)))
        parts[name] = (page, np.concatenate([points.min(axis=0), points.max(axis=0)]), joins, own)
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
    found = Outline([], [], [], [])
    wheels = []
    for name, (page, rect, _, own) in parts.items():
        dx, dy = shifts[name]

        def lines(strokes):
            return [LineString([(x + dx, y + dy) for x, y in pair]) for s in strokes for pair in s.segments()]

        found.parts.append(box(rect[0] + dx, rect[1] + dy, rect[2] + dx, rect[3] + dy))
        found.edges += lines(own)
        wheels += lines(s for s in page.strokes if s.layer == "vehicle" and abs(s.width - WHEEL_WIDTH) < WIDTH_MM)
        found.ticks += lines(s for s in page.strokes if s.layer == "registration" and not s.dashed)
    found.wheels = list(polygonize(_welded(wheels)))
    return found


def joint(text):
    found = re.fullmatch(r"([◂▴▾]) (V\d+)|(V\d+) (▸)", text)
    return found and ((found[1], found[2]) if found[1] else (found[4], found[3]))


def _welded(lines):
    """Ends rounded to a hundredth of a millimetre, so that pieces from two pages meet, and split where they meet."""
    from shapely import unary_union

    return unary_union([LineString([(round(x, 2), round(y, 2)) for x, y in line.coords]) for line in lines if line.length > 0.02])
