"""Cut files read back: paths of cut.svg and cut.pdf as chords, in floor mm."""

import math
import re
import xml.etree.ElementTree as ElementTree
from dataclasses import dataclass, field

import pymupdf
from shapely.geometry import LineString, Polygon

import vectors

SVG = "{http://www.w3.org/2000/svg}"


@dataclass
class Piece:
    """One panel as a file shows it: paths are lists of floor points, the last point of a closed one is its first."""

    name: str
    size: tuple
    spots: dict
    strokes: dict
    cut: list = field(default_factory=list)
    score: list = field(default_factory=list)

    def openings(self, kerf):
        """The finished openings: what the tool leaves open, half a kerf outside its path."""
        outline = max(self.polygons(), key=lambda polygon: polygon.area)
        loops = [polygon for polygon in self.polygons() if polygon is not outline]
        self_outline = outline.buffer(-kerf / 2, join_style="mitre", mitre_limit=20)
        return self_outline, [loop.buffer(kerf / 2, join_style="mitre", mitre_limit=20) for loop in loops]

    def polygons(self):
        if not hasattr(self, "_polygons"):
            assert all(math.dist(path[0], path[-1]) < 1e-3 for path in self.cut), f"{self.name}: an open path"
            self._polygons = [Polygon(path) for path in self.cut]
            assert all(polygon.is_valid for polygon in self._polygons)
        return self._polygons

    def lines(self):
        return [LineString(path) for path in [*self.cut, *self.score]]


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
            points += vectors.chords([points[-1], *pairs])[1:]
        else:
            assert letter == "Z", letter
            if math.dist(points[0], points[-1]) > 1e-4:
                points.append(points[0])
    return points


def read_svg(path):
    """(width, height, viewBox, pieces) of a cut.svg."""
    root = ElementTree.parse(path).getroot()
    allowed = {SVG + name for name in ("svg", "title", "g", "path")}
    assert {element.tag for element in root.iter()} <= allowed, "something else than groups and paths"
    assert not any("transform" in element.attrib for element in root.iter())
    pieces = []
    for group in root.findall(SVG + "g"):
        number = lambda name: float(group.get(f"data-{name}-mm"))
        x, y = number("x"), number("y")
        size = (number("width"), number("height"))
        floor = (number("floor-x"), number("floor-y"))
        piece = Piece(group.find(SVG + "title").text, size, {}, {})
        for layer in group.findall(SVG + "g"):
            name = layer.get("data-layer")
            assert layer.get("fill") == "none" and layer.get("id") == f"{group.get('id')}-{name}"
            piece.spots[name], piece.strokes[name] = layer.get("data-spot"), float(layer.get("stroke-width"))
            to_floor = lambda p: (p[0] - x + floor[0], size[1] - (p[1] - y) + floor[1])
            paths = [svg_path(element.get("d")) for element in layer.findall(SVG + "path")]
            setattr(piece, name, [[to_floor(p) for p in points] for points in paths])
        piece.floor = floor
        pieces.append(piece)
    return root.get("width"), root.get("height"), root.get("viewBox"), pieces


def read_pdf(path, floors):
    """The pieces of a cut.pdf; `floors` are the floor points at the pages' lower left corners."""
    with pymupdf.open(path) as document:
        titles = [entry[1] for entry in document.get_toc()]
    pieces = []
    for page, title, floor in zip(vectors.read(path), titles, floors, strict=True):
        assert not page.fills and not page.texts
        piece = Piece(title, (page.width, page.height), {}, {})
        for stroke in page.strokes:
            assert len(stroke.runs) == 1 and not stroke.dashed
            piece.strokes[stroke.layer] = stroke.width
            getattr(piece, stroke.layer).append([(x + floor[0], y + floor[1]) for x, y in stroke.runs[0]])
        pieces.append(piece)
    return pieces
