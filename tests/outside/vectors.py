"""A PDF page as vector geometry: millimetres from the page's lower left corner, y up."""

import functools
from dataclasses import dataclass, field

import numpy as np
import pymupdf
from shapely import linestrings, unary_union
from shapely.geometry import LineString, MultiPoint, Point, Polygon
from shapely.ops import polygonize

MM_PER_POINT = 25.4 / 72  # ISO 32000: a user unit is 1/72 in.

# Chords per Bézier segment. A quarter of a 6 mm circle strays 0.0004 mm from 24 chords, an eighth of a circle of
# 0.5 m less than 0.01 mm.
CHORDS = 24

# What each of a segment's four control points counts for at the ends of its chords.
_T = np.linspace(0, 1, CHORDS + 1)
WEIGHTS = np.stack([(1 - _T) ** 3, 3 * (1 - _T) ** 2 * _T, 3 * (1 - _T) * _T**2, _T**3], axis=1)

# Points nearer than this are one: MuPDF keeps coordinates as 32-bit floats, 0.00003 mm on the largest sheet.
SAME_POINT_MM = 0.001

# Cap height and depth of the descenders as fractions of the em, of the face that the sheets are lettered in
# (DejaVu Sans Condensed: OS/2 sCapHeight 1493 of 2048 units; depth of "g" read from the face).
CAP_HEIGHT = 1493 / 2048
DESCENT = 0.24
DESCENDING = set("gjpqyQ,;()[]{}/|_µ")


@dataclass(frozen=True)
class Fill:
    """A filled outline."""

    layer: str
    area: object
    grey: float


@dataclass(frozen=True)
class Stroke:
    """A stroked outline: its runs of points, curves as chords."""

    layer: str
    runs: tuple
    width: float
    dashed: bool
    pattern: tuple = ()  # dashes and gaps in mm

    def segments(self):
        """The straight pieces as pairs of points."""
        return [pair for run in self.runs for pair in zip(run, run[1:])]


@dataclass(frozen=True)
class Text:
    """One line of text."""

    layer: str
    content: str
    at: tuple
    cap_height: float
    corners: tuple  # of its ink, seen as one box turned with the text

    @functools.cached_property
    def box(self):
        return MultiPoint(self.corners).convex_hull

    @property
    def bounds(self):
        """x0, y0, x1, y1 of its box."""
        x, y = zip(*self.corners)
        return min(x), min(y), max(x), max(y)


@dataclass
class Page:
    """Everything that is drawn on a page."""

    width: float
    height: float
    fills: list = field(default_factory=list)
    strokes: list = field(default_factory=list)
    texts: list = field(default_factory=list)
    known: dict = field(default_factory=dict, repr=False, compare=False)

    def once(self, name, made):
        """What was made of the page under this name before, or `made()`: a page does not change."""
        if name not in self.known:
            self.known[name] = made()
        return self.known[name]

    def segments(self, layer, longest=float("inf")):
        """A layer's straight strokes up to a length in mm."""
        return self.once(("segments", layer, longest), lambda: self._segments(layer, longest))

    def _segments(self, layer, longest):
        pairs = np.array([s for stroke in self.strokes if stroke.layer == layer for s in stroke.segments()]).reshape(-1, 2, 2)
        length = np.hypot(*(pairs[:, 1] - pairs[:, 0]).T)
        return list(linestrings(pairs[(length > 0) & (length <= longest)]))


def read(path, numbers=None):
    """The pages of a PDF; `numbers` count from 1."""
    with pymupdf.open(path) as document:
        wanted = numbers or range(1, document.page_count + 1)
        return [read_page(document[number - 1]) for number in wanted]


def read_page(page):
    """One page of an open document."""
    height = page.mediabox.height

    def place(point):
        return point[0] * MM_PER_POINT, (height - point[1]) * MM_PER_POINT

    out = Page(page.mediabox.width * MM_PER_POINT, height * MM_PER_POINT)
    for drawn in page.get_cdrawings(extended=False):
        runs = _runs(drawn["items"], place)
        layer = drawn.get("layer") or ""
        if "f" in drawn["type"]:
            grey = sum(drawn["fill"]) / len(drawn["fill"])
            out.fills.append(Fill(layer, _area(runs, drawn.get("even_odd", False)), grey))
        if "s" in drawn["type"]:
            if drawn.get("closePath"):
                runs = runs[:-1] + [[*runs[-1], runs[-1][0]]]
            dashed = not drawn["dashes"].startswith("[]")
            width = drawn["width"] * MM_PER_POINT
            pattern = tuple(float(n) * MM_PER_POINT for n in drawn["dashes"].split("]")[0].strip("[ ").split())
            out.strokes.append(Stroke(layer, tuple(map(tuple, runs)), width, dashed, pattern))
    out.texts = [_text(span, place) for span in page.get_texttrace() if _said(span).strip()]
    return out


def _runs(items, place):
    """Path items as runs of points. MuPDF leaves out the pen's moves: a run ends where the next item starts
    elsewhere, or where it has come back to its own start."""
    runs = []
    for kind, *rest in items:
        if kind == "re":
            # 1 is counter-clockwise seen with y up, -1 clockwise.
            (x0, y0, x1, y1), orientation = rest
            corners = [(x0, y1), (x1, y1), (x1, y0), (x0, y0), (x0, y1)]
            points = [place(p) for p in corners[:: orientation]]
        elif kind == "qu":
            upper_left, upper_right, lower_left, lower_right = rest[0]
            points = [place(p) for p in (upper_left, upper_right, lower_right, lower_left, upper_left)]
        elif kind == "l":
            points = [place(p) for p in rest]
        else:
            points = chords([place(p) for p in rest])
        if runs and _near(runs[-1][-1], points[0]) and not (len(runs[-1]) > 2 and _near(runs[-1][0], runs[-1][-1])):
            runs[-1].extend(points[1:])
        else:
            runs.append(points)
    return runs


def _near(p, q):
    return abs(p[0] - q[0]) < SAME_POINT_MM and abs(p[1] - q[1]) < SAME_POINT_MM


def chords(control):
    """The ends of a Bézier segment's chords."""
    return list(map(tuple, (WEIGHTS @ np.array(control)).tolist()))


def _area(runs, even_odd):
    rings = [ring for ring in runs if len(ring) > 2]
    if len(rings) == 1 and (whole := Polygon(rings[0])).is_valid:
        return whole
    closed = [LineString([*ring, ring[0]]) for ring in rings]
    faces = list(polygonize(unary_union(closed))) if closed else []
    inked = []
    for face in faces:
        turns = sum(_winding(ring, face.representative_point()) for ring in rings)
        if turns % 2 if even_odd else turns:
            inked.append(face)
    return unary_union(inked) if inked else Polygon()


def _winding(ring, point):
    """How often a ring goes round a point, counter-clockwise positive (crossings of a ray to the right)."""
    turns = 0
    for (x0, y0), (x1, y1) in zip(ring, [*ring[1:], ring[0]]):
        side = (x1 - x0) * (point.y - y0) - (point.x - x0) * (y1 - y0)
        if y0 <= point.y < y1 and side > 0:
            turns += 1
        elif y1 <= point.y < y0 and side < 0:
            turns -= 1
    return turns


def _said(span):
    return "".join(chr(char[0]) for char in span["chars"])


def _text(span, place):
    content = _said(span)
    em = span["size"] * MM_PER_POINT
    x, y = start = place(span["chars"][0][2])
    along, up = span["dir"][0], -span["dir"][1]
    # A turned character's box is wider than the character; only unturned text ends where its boxes end.
    if min(abs(along), abs(up)) < 1e-6:
        ends = [end for char in span["chars"] for end in (char[3][:2], char[3][2:])]
    else:
        ends = [span["chars"][-1][2]]
    length = max((at[0] - x) * along + (at[1] - y) * up for at in map(place, ends))
    depth = DESCENT * em if DESCENDING & set(content) else 0.0
    corners = tuple(
        (x + along * far - up * high, y + up * far + along * high) for far in (0.0, length) for high in (-depth, CAP_HEIGHT * em)
    )
    return Text(span.get("layer") or "", content, start, CAP_HEIGHT * em, corners)


def circles(page, layer):
    """Whole circles stroked on a layer: centre and diameter."""
    found = []
    for stroke in page.strokes:
        if stroke.layer != layer:
            continue
        for run in stroke.runs:
            circle = _circle(run)
            if circle:
                found.append(circle)
    return found


def _circle(run):
    points = np.array(run)
    if len(points) < 2 * CHORDS or not _near(run[0], run[-1]):
        return None
    low, high = points.min(axis=0), points.max(axis=0)
    centre, diameter = (low + high) / 2, float((high - low).mean())
    radii = np.hypot(*(points - centre).T)
    # A Bézier circle of four arcs strays 0.03 % from the circle: 0.001 mm at 6 mm.
    return (Point(*centre), diameter) if np.ptp(radii) < 0.005 * diameter else None
