"""Cut files read back: the loads of cut-01.svg … and cut.pdf, their paths as chords, on the load and on the floor."""

import math
import re
import xml.etree.ElementTree as ElementTree
from dataclasses import dataclass, field

import numpy as np
import pymupdf
from shapely import unary_union
from shapely.geometry import LineString, Point, Polygon

import vectors

# How far the chords of a curve may stray from it, mm.
STRAY_MM = 0.0005

SVG = "{http://www.w3.org/2000/svg}"


@dataclass
class Piece:
    """One piece as a file shows it: paths are lists of points on its load, y up; the last point of a closed one is its first."""

    name: str
    to_floor: tuple
    cut: list = field(default_factory=list)
    score: list = field(default_factory=list)

    def on_floor(self, points):
        a, b, c, d, e, f = self.to_floor
        return [(a * x + c * y + e, b * x + d * y + f) for x, y in points]

    def finished(self, kerf):
        """(material, openings) on the floor: what the tool leaves, half a kerf beside its path."""
        if not hasattr(self, "_finished"):
            assert all(math.dist(path[0], path[-1]) < 1e-3 for path in self.cut), f"{self.name}: an open path"
            loops = [Polygon(self.on_floor(path)) for path in self.cut]
            assert all(loop.is_valid for loop in loops)
            outline = max(loops, key=lambda loop: loop.area)
            assert outline is loops[-1], f"{self.name}: the outline is not cut last"
            grown = lambda loop, by: loop.buffer(by, join_style="mitre", mitre_limit=20)
            openings = [grown(loop, kerf / 2) for loop in loops if loop is not outline]
            self._finished = grown(outline, -kerf / 2), openings
        return self._finished

    def lines(self):
        return [LineString(path) for path in [*self.cut, *self.score]]


@dataclass
class Load:
    """One load: its size, what its layers say, and its pieces by name, in the order in which they are cut."""

    width: str
    height: str
    view_box: str
    spots: dict = field(default_factory=dict)
    colours: dict = field(default_factory=dict)
    strokes: dict = field(default_factory=dict)
    order: list = field(default_factory=list)  # (layer, piece, path) as the file has them
    pieces: dict = field(default_factory=dict)

    @property
    def size(self):
        return float(self.width.removesuffix("mm")), float(self.height.removesuffix("mm"))


def svg_path(data):
    """The single run of points that a path of M, L, C and Z draws."""
    points = []
    for letter, numbers in re.findall(r"([A-Za-z])([^A-Za-z]*)", data):
        values = [float(n) for n in numbers.split()]
        pairs = list(zip(values[::2], values[1::2]))
        if letter == "M":
            assert not points, "a path of several runs"
            points = pairs
        elif letter == "L":
            points += pairs
        elif letter == "C":
            points += cubic([points[-1], *pairs])
        else:
            assert letter == "Z", letter
            if math.dist(points[0], points[-1]) > 1e-4:
                points.append(points[0])
    return points


def cubic(control):
    """Points of a cubic after its first, so near to each other that its chords stray less than STRAY_MM."""
    p = np.array(control)
    # Chords of equal parameter steps h stray at most h²/8 times the largest second derivative.
    second = 6 * max(np.linalg.norm(p[0] - 2 * p[1] + p[2]), np.linalg.norm(p[1] - 2 * p[2] + p[3]))
    count = max(1, math.ceil(math.sqrt(second / 8 / STRAY_MM)))
    t = np.linspace(0, 1, count + 1)[1:, None]
    curve = (1 - t) ** 3 * p[0] + 3 * t * (1 - t) ** 2 * p[1] + 3 * t * t * (1 - t) * p[2] + t**3 * p[3]
    return [tuple(point) for point in curve]


def read_load(path):
    root = ElementTree.parse(path).getroot()
    allowed = {SVG + name for name in ("svg", "title", "g", "path")}
    assert {element.tag for element in root.iter()} <= allowed, "something else than groups and paths"
    assert not any("transform" in element.attrib for element in root.iter())
    load = Load(root.get("width"), root.get("height"), root.get("viewBox"))
    height = load.size[1]
    for layer in root.findall(SVG + "g"):
        name = layer.get("id")
        assert layer.get("fill") == "none"
        load.spots[name], load.strokes[name] = layer.get("data-spot"), float(layer.get("stroke-width"))
        load.colours[name] = layer.get("stroke")
        for group in layer.findall(SVG + "g"):
            label = group.get("data-piece")
            assert group.get("id") == f"{name}-{label}"
            to_floor = tuple(float(number) for number in group.get("data-to-floor").split())
            piece = load.pieces.setdefault(label, Piece(label, to_floor))
            assert piece.to_floor == to_floor
            for element in group.findall(SVG + "path"):
                points = [(x, height - y) for x, y in svg_path(element.get("d"))]
                load.order.append((name, label, points))
                (piece.cut if name == "cut" else piece.score).append(points)
    return load


def read_svg(folder):
    return [read_load(path) for path in sorted(folder.glob("cut-*.svg"))]


def read_pdf(path):
    """The pages of a cut.pdf: (title, size, strokes by layer, [(layer, points)])."""
    with pymupdf.open(path) as document:
        titles = [entry[1] for entry in document.get_toc()]
    pages = []
    for page, title in zip(vectors.read(path), titles, strict=True):
        assert not page.fills and not page.texts
        assert not any(stroke.dashed for stroke in page.strokes)
        widths = {stroke.layer: stroke.width for stroke in page.strokes}
        pages.append((title, (page.width, page.height), widths, [(stroke.layer, one_run(stroke.runs)) for stroke in page.strokes]))
    return pages


def one_run(runs):
    """The runs of a stroke as one: a reader may part it where a letter comes back to where it began."""
    for before, after in zip(runs, runs[1:]):
        assert math.dist(before[-1], after[0]) < 0.01, "a stroke of several runs"
    return [point for run in runs for point in run]


def by_holes(pieces, register, reach):
    """Where pieces lie when they are put together by their register holes alone: name → motion from its load (2 × 3), the
    first piece's as on the floor. `register` is (piece, hole, hole; piece, hole, hole) on their loads for every joint, the
    holes of the one opposite those of the other and `reach` mm from them."""
    motions = {pieces[0].name: np.array(pieces[0].to_floor).reshape(3, 2).T}
    left = list(register)
    while left:
        placed = [joint for joint in left if (joint[0][0] in motions) or (joint[1][0] in motions)]
        assert placed, "pieces that no joint ties to the others"
        for joint in placed:
            left.remove(joint)
            known, new = joint if joint[0][0] in motions else joint[::-1]
            if new[0] in motions:
                continue
            motion = motions[known[0]]
            one, other = (motion[:, :2] @ np.array(hole) + motion[:, 2] for hole in known[1:])
            along = (other - one) / np.linalg.norm(other - one)
            away = np.array([-along[1], along[0]])
            inside = motion[:, :2] @ np.array(centre(pieces, known[0])) + motion[:, 2]
            if np.dot(inside - one, away) > 0:
                away = -away
            targets = np.array([one + away * reach, other + away * reach])
            motions[new[0]] = rigid(np.array(new[1:]), targets)
    return motions


def centre(pieces, name):
    piece = next(piece for piece in pieces if piece.name == name)
    return Polygon(piece.cut[-1]).representative_point().coords[0]


def rigid(start, end):
    """The turn and shift that take two points to two others best, as 2 × 3."""
    middle, target = start.mean(axis=0), end.mean(axis=0)
    u, _, vt = np.linalg.svd((start - middle).T @ (end - target))
    turn = (u @ np.diag([1, np.linalg.det(u @ vt)]) @ vt).T
    return np.column_stack([turn, target - turn @ middle])


def is_round(polygon, diameter, true):
    x0, y0, x1, y1 = polygon.bounds
    of_circle = abs(polygon.area - math.pi * diameter**2 / 4) < 0.2
    return of_circle and abs((x1 - x0) - diameter) < 2 * true and abs((y1 - y0) - diameter) < 2 * true


def together(polygons):
    return unary_union(list(polygons))


def near(point, polygons, reach):
    return [polygon for polygon in polygons if polygon.centroid.distance(Point(point)) < reach]
