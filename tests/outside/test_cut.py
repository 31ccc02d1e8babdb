"""The stencil to cut, read back from cut-01.svg … and cut.pdf: true size, true place, pieces that go together in one way."""

import functools
import itertools
import math
import os
import re
import subprocess
import tempfile
from pathlib import Path

import numpy as np
import pymupdf
import pytest
import shapely
from scipy.sparse.csgraph import minimum_spanning_tree
from scipy.spatial import distance_matrix
from shapely import unary_union
from shapely.affinity import affine_transform
from shapely.geometry import LineString, Point, Polygon, box
from shapely.strtree import STRtree

import cutting
import dxf
import kit
import random_layout
import vectors
from floor import middle

# Places and widths: a fiftieth of a millimetre, as on the printed sheets.
TRUE_MM = 0.02

# A mark's centre hole is 6 mm wide, a register hole 4 mm, a pen slot 2 mm or a kerf and 1 mm (README).
HOLE_MM, REGISTER_MM, PEN_MM = 6.0, 4.0, 2.0

# The plan writes discs as polygons of 180 corners; a chord of one of 400 mm strays 0.03 mm.
CHORD_MM = 0.035

# Alignment notches are 10 mm deep (README).
NOTCH_MM = 10.0

# What stays free between two pieces on a load, and along its edges (README).
BETWEEN_MM = 5.0

DEFAULTS = {
    "bridge": 8.0, "bridge-every": 300.0, "kerf": 0.0, "corner": 1.0, "hairline": 0.1, "border": 60.0, "bed": (1200, 800),
    "spot": "Through", "score-spot": "Score", "cut-colour": "#ff00ff", "score-colour": "#00ffff",
}

WAYS = {
    "plain": {},
    "bed": {"bed": (1000, 700), "kerf": 0.2},
    "router": {"bed": (2500, 1250), "kerf": 3.0, "corner": 3.0, "bridge": 15.0, "bridge-every": 200.0, "spot": "Router"},
    "laser": {"bed": (600, 450), "kerf": 0.15, "bridge": 4.0, "hairline": 0.01, "spot": "laser", "score-spot": "Büro #2", "cut-colour": "#FF0000", "score-colour": "#0000ff"},
    "narrow": {"border": 30.0, "bed": (1500, 900)},
    "roll": {"bed": (600,), "pen-names": True},
    "field": {"field": True, "bed": (5070, 5070)},
    "tiled field": {"field": True, "bed": (1200, 800), "kerf": 0.2},
}


class Cut:
    """The cut files of one run, with the plan they were made from and the options they were made with."""

    def __init__(self, folder, arguments, options):
        self.folder = folder
        self.options = {**DEFAULTS, **options}
        self.loads = cutting.read_svg(folder)
        self.pieces = [piece for load in self.loads for piece in load.pieces.values()]
        assert len({piece.name for piece in self.pieces}) == len(self.pieces)
        self.plan = kit.plan(*arguments)
        self.marks = {mark["id"]: (mark["x_mm"], mark["y_mm"]) for mark in self.plan["marks"]}
        self.finished = [piece.finished(self.options["kerf"]) for piece in self.pieces]
        # A hollow in a piece is a loop as an opening is, and as large as no opening.
        self.hollows = [o for _, openings in self.finished for o in openings if self.is_hollow(o)]
        self.openings = [o for _, openings in self.finished for o in openings if not self.is_hollow(o)]
        self.pen = max(PEN_MM, self.options["kerf"] + 1)

    def is_hollow(self, opening):
        x0, y0, x1, y1 = opening.bounds
        return min(x1 - x0, y1 - y0) > 150 and opening.area > 20_000 and not self.options.get("field")

    @property
    def is_frame(self):
        return not self.options.get("field")

    @functools.cached_property
    def grown(self):
        """The openings, larger by what counts as true, to be asked by place."""
        return STRtree(shapely.buffer(self.openings, TRUE_MM))

    @functools.cached_property
    def materials(self):
        """What each piece is, openings filled, hollows not."""
        hollow = unary_union(self.hollows)
        return [outline.difference(hollow) for outline, _ in self.finished]

    @functools.cached_property
    def material(self):
        """All pieces put together; what the file's last decimal leaves between two is closed."""
        return unary_union(shapely.buffer(self.materials, 0.005, join_style="mitre")).buffer(-0.005, join_style="mitre")


@functools.cache
def made(way, *arguments):
    return made_with(WAYS[way], *arguments)


def made_with(options, *arguments, folder=None):
    out = Path(tempfile.mkdtemp(dir=os.environ[kit.FOLDER_VARIABLE]))
    kit.asked("cut", *arguments, *flags(options), "-o", out, folder=folder)
    return Cut(out, arguments, options)


def flags(options):
    for name, value in options.items():
        if value is True:
            yield f"--{name}"
            continue
        if name == "bed":
            value = "x".join(f"{side}mm" for side in value)
        elif not name.endswith(("spot", "colour")):
            value = f"{value}mm"
        yield from (f"--{name}", value)


def combinations():
    return [("--vehicle", v, "--template", t) for v in kit.names("vehicles") for t in kit.names("templates")]


def pytest_generate_tests(metafunc):
    if "any_cut" in metafunc.fixturenames:
        jobs = [
            pytest.param((way, *job), id=f"{way}-{job[1]}-{job[3]}", marks=pytest.mark.xdist_group(f"cut-{job[1]}-{job[3]}"))
            for number, job in enumerate(combinations()) for way in ("plain", "bed")[: 1 + (number % 3 == 0)]
        ]
        jobs += [pytest.param((way,), id=f"{way}-demo", marks=pytest.mark.xdist_group("cut-demo")) for way in WAYS]
        slanting = ("--template", "rear-corner-arcs", "--set", "disc=400mm")
        jobs += [pytest.param((way, *slanting), id=f"{way}-discs") for way in ("router", "laser", "narrow")]
        metafunc.parametrize("any_cut", jobs, indirect=True, scope="module")


@pytest.fixture(scope="module")
def any_cut(request):
    """Every vehicle with every template as a frame, some on a second bed; the demonstration job in all ways."""
    return made(*request.param)


def test_what_remains_of_every_piece_is_one_piece_held_by_true_bridges(any_cut):
    hold_together(any_cut)


def hold_together(cut):
    for piece, (outline, openings) in zip(cut.pieces, cut.finished):
        material = outline.difference(unary_union(openings))
        assert material.geom_type == "Polygon", f"{piece.name} falls into {len(material.geoms)} parts"
        # All webs but the rings about centre holes are as wide as a bridge: what is left when every cut grows by
        # 45 % of a bridge still hangs together. (A tab's neck may be narrower; what hangs on it is the tab.)
        grown = material.buffer(-0.45 * cut.options["bridge"])
        parts = [part for part in getattr(grown, "geoms", [grown]) if part.area > 100]
        assert len(parts) == 1, f"{piece.name} hangs on webs narrower than a bridge"


def test_every_opening_lies_within_its_piece_and_none_touches_another(any_cut):
    keep_off(any_cut)


def keep_off(cut):
    for piece, (outline, openings) in zip(cut.pieces, cut.finished):
        inner = outline.exterior.buffer(cut.options["bridge"] - TRUE_MM)
        slots = [opening for opening in openings if not cut.is_hollow(opening)]
        assert all(outline.contains(opening) and not inner.intersects(opening) for opening in slots), piece.name
        assert unary_union(openings).area == pytest.approx(sum(opening.area for opening in openings), abs=1e-6)


def test_every_mark_has_its_hole_in_place_and_windows_along_its_arms(any_cut):
    holes = [o for o in any_cut.openings if cutting.is_round(o, HOLE_MM, TRUE_MM)]
    assert len(holes) == len(any_cut.marks)
    for name, place in any_cut.marks.items():
        near = cutting.near(place, holes, TRUE_MM)
        assert len(near) == 1, name
        for edge in near[0].exterior.coords:
            assert math.dist(edge, place) == pytest.approx(HOLE_MM / 2, abs=TRUE_MM)
        for arm in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            window = LineString([[p + a * reach for p, a in zip(place, arm)] for reach in (8, 14)])
            assert len(any_cut.grown.query(window, predicate="within")), f"{name}: no window {arm}"


def test_finished_slots_are_as_wide_as_the_tape_strips_and_lie_on_them(any_cut):
    on_strips = slots_on_strips(any_cut)
    if not any_cut.plan["panels"]:
        # Everything wider than a pen slot is a hole or lies on a strip.
        round_ones = lambda o: any(cutting.is_round(o, size, TRUE_MM) for size in (HOLE_MM, REGISTER_MM))
        wide = [o for o in any_cut.openings if narrow_side(o) > any_cut.pen + TRUE_MM and not round_ones(o)]
        assert len({slot.wkb for slot in wide}) == len(wide) <= on_strips


def slots_on_strips(cut, whole=True):
    on_strips = 0
    for line in cut.plan["lines"]:
        (a, b), width = middle(cut.marks, line), line["width_mm"]
        slots = [slot for slot in cut.openings if lies_on(slot, a, b, width)]
        if not slots and not whole:
            continue
        assert slots, line
        for slot in slots:
            offs = [across(corner, a, b) for corner in slot.exterior.coords]
            assert max(offs) == pytest.approx(width / 2, abs=TRUE_MM)
            assert min(offs) == pytest.approx(-width / 2, abs=TRUE_MM)
        on_strips += len(slots)
        spans = sorted((min(s), max(s)) for s in ([along(c, a, b) for c in slot.exterior.coords] for slot in slots))
        options = cut.options
        for (start, end), (following, _) in itertools.pairwise(spans):
            assert following - end >= options["bridge"] - TRUE_MM
            # A longer web than a bridge is a mark's pad, a crossing or a joint.
            assert not whole or following - end < 2 * (15 + options["bridge"]) + width + 1
        assert all(end - start <= options["bridge-every"] - options["bridge"] + TRUE_MM for start, end in spans)
    return on_strips


def across(point, a, b):
    length = math.dist(a, b)
    return ((b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0])) / length


def along(point, a, b):
    return ((b[0] - a[0]) * (point[0] - a[0]) + (b[1] - a[1]) * (point[1] - a[1])) / math.dist(a, b)


def lies_on(slot, a, b, width):
    middle = (slot.centroid.x, slot.centroid.y)
    if not 0 < along(middle, a, b) < math.dist(a, b) or abs(across(middle, a, b)) >= TRUE_MM:
        return False
    offs = [across(corner, a, b) for corner in slot.exterior.coords]
    return abs(max(offs) - min(offs) - width) < 0.5


def narrow_side(polygon):
    corners = polygon.minimum_rotated_rectangle.exterior.coords
    return min(math.dist(corners[0], corners[1]), math.dist(corners[1], corners[2]))


def test_the_edges_of_panels_are_drawn_through_pen_slots_that_lie_on_them(any_cut):
    for panel, outlines in ((p, [f["outline_mm"] for f in p["fields"]]) for p in any_cut.plan["panels"]):
        edges = unary_union([Polygon(outline).exterior for outline in outlines])
        band = edges.buffer(any_cut.pen / 2 + TRUE_MM + CHORD_MM)
        pens = [opening for opening in any_cut.openings if band.contains(opening)]
        drawn = edges.intersection(unary_union(pens).buffer(CHORD_MM)).length
        # The rest are bridges at corners, and gaps at marks and joints.
        assert drawn > 0.5 * edges.length, (panel["mark"], drawn / edges.length)
        width = sum(pen.area for pen in pens) / drawn
        assert width == pytest.approx(any_cut.pen, rel=0.03), panel["mark"]


def axle_lines(cut):
    """The centreline, and each axle's line on each side, through all the material."""
    size = cut.plan["vehicle"]["dimensions_mm"]
    x0, y0, x1, y1 = cut.material.buffer(50).bounds
    yield LineString([(x0, 0), (x1, 0)])
    for left, right in ((0, 0), (-size["wheelbase_left"], -size["wheelbase_right"])):
        yield LineString([(left, 1), (left, y1)])
        yield LineString([(right, -1), (right, y0)])


def test_notches_point_at_the_centreline_and_at_both_axles_on_both_sides(any_cut):
    corners = [Point(corner) for ring in rings(any_cut.material) for corner in ring.coords]
    tree, met = STRtree(corners), 0
    for line in axle_lines(any_cut):
        for place in shapely.get_parts(any_cut.material.boundary.intersection(line)):
            if place.geom_type != "Point":
                continue
            edge = min(rings(any_cut.material), key=place.distance)
            beside = [edge.interpolate((edge.project(place) + by) % edge.length) for by in (-30, 30)]
            run = np.subtract(*(np.array(point.coords[0]) for point in beside))
            way = np.subtract(*np.array(line.coords))
            square = abs(run @ way) < 0.02 * np.linalg.norm(run) * np.linalg.norm(way)
            straight = np.linalg.norm(run) > 0.75 * 60
            if square and straight and edge.length > 400:
                met += 1
                # Closing what the last decimal leaves between pieces moves a sharp tip.
                assert corners[tree.nearest(place)].distance(place) < 3 * TRUE_MM, place
    assert met or any_cut.plan["template"]["name"] != "perimeter lines with cross lines"


def rings(material):
    parts = getattr(material, "geoms", [material])
    return [ring for part in parts for ring in (part.exterior, *part.interiors)]


def test_all_pieces_lie_side_by_side_on_the_floor_and_make_one_stencil(any_cut):
    lie_together(any_cut)


def lie_together(cut):
    total = sum(material.area for material in cut.materials)
    assert cut.material.geom_type == "Polygon", f"{len(cut.material.geoms)} parts"
    # Neither do pieces overlap nor do gaps stay between them.
    if cut.is_frame:
        assert cut.material.area == pytest.approx(total, abs=0.01 * len(cut.pieces) * 200)
        overlap = sum(one.intersection(other).area for one, other in itertools.combinations(cut.materials, 2))
        assert overlap < 0.01 * len(cut.pieces)


def joints(cut):
    """((piece, other piece), joint) of each two pieces that touch along more than a corner."""
    tree = STRtree(cut.materials)
    for index, one in enumerate(cut.materials):
        for other in tree.query(one.buffer(0.01)):
            if other > index:
                joint = one.buffer(0.005).intersection(cut.materials[other].exterior)
                if joint.length > 20:
                    yield (index, other), joint


def register(cut, reach):
    """For each joint the two pieces with their two register holes on their loads, those opposite each other in one order."""
    for pair, joint in joints(cut):
        sides = []
        for index in pair:
            piece, holes = cut.pieces[index], []
            for path, opening in zip(piece.cut[:-1], cut.finished[index][1]):
                if cutting.is_round(opening, REGISTER_MM, TRUE_MM) and abs(opening.centroid.distance(straight(joint)) - reach / 2) < TRUE_MM:
                    holes.append((opening.centroid.coords[0], Polygon(path).centroid.coords[0]))
            sides.append((piece.name, holes))
        (one, mine), (other, theirs) = sides
        opposite = [(hole, min(theirs, key=lambda there: math.dist(hole[0], there[0]))) for hole in mine if theirs]
        opposite = [(a[1], b[1]) for a, b in opposite if abs(math.dist(a[0], b[0]) - reach) < TRUE_MM]
        if len(opposite) == 2:
            yield (one, opposite[0][0], opposite[1][0]), (other, opposite[0][1], opposite[1][1])


def straight(joint):
    """The line along which a joint runs, without its tabs: that through its two ends."""
    points = [point for line in shapely.get_parts(shapely.line_merge(joint)) for point in line.coords]
    ends = max(itertools.combinations(points, 2), key=lambda pair: math.dist(*pair))
    (x0, y0), (x1, y1) = ends
    long = 100 / math.dist(*ends)
    return LineString([(x0 - (x1 - x0) * long, y0 - (y1 - y0) * long), (x1 + (x1 - x0) * long, y1 + (y1 - y0) * long)])


@pytest.mark.parametrize("way", [way for way in WAYS if "field" not in way])
def test_register_holes_alone_put_every_slot_in_its_place(way):
    cut = made(way)
    options = cut.options
    tab = min(20, options["border"] - 2 * options["bridge"])
    reach = 2 * 5 * math.ceil((0.6 * tab + options["bridge"] + REGISTER_MM / 2) / 5)
    found = list(register(cut, reach))
    assert len(found) >= len(cut.pieces) - 1
    motions = cutting.by_holes(cut.pieces, found, reach)
    assert len(motions) == len(cut.pieces)
    for piece in cut.pieces:
        motion = motions[piece.name]
        for path in piece.cut:
            put = np.array(path) @ motion[:, :2].T + motion[:, 2]
            assert np.abs(put - np.array(piece.on_floor(path))).max() < TRUE_MM, piece.name


@pytest.mark.parametrize("way", ["plain", "laser", "narrow"])
def test_no_end_of_a_piece_goes_together_with_another_than_its_own(way):
    cut = made(way)
    ends = []
    for number, (pair, joint) in enumerate(joints(cut)):
        line = straight(joint)
        middle = joint.minimum_rotated_rectangle.centroid
        foot = line.interpolate(line.project(middle))
        run = np.subtract(*np.array(line.coords)[::-1])
        bearing = math.atan2(run[1], run[0])
        length = max(math.dist(a, b) for a, b in itertools.combinations([p for l in shapely.get_parts(joint) for p in l.coords], 2))
        for index in pair:
            # The end as it looks from its own piece: the joint along x, the piece below.
            turn = -bearing
            inside = cut.materials[index].intersection(foot.buffer(length)).representative_point()
            above = (inside.x - foot.x) * math.sin(turn) + (inside.y - foot.y) * math.cos(turn) > 0
            turn += math.pi if above else 0
            c, s = math.cos(turn), math.sin(turn)
            shape = affine_transform(cut.materials[index], [c, -s, s, c, -c * foot.x + s * foot.y, -s * foot.x - c * foot.y])
            ends.append((number, round(length), shape.intersection(box(-length / 2, -30, length / 2, 30))))
    for (one, long, shape), (other, wide, mate) in itertools.combinations(ends, 2):
        if long != wide:
            continue
        turned = affine_transform(mate, [-1, 0, 0, -1, 0, 0])
        fits = shape.intersection(turned).area < 1 and shape.union(turned).buffer(0.05).buffer(-0.1).area > 60 * long - 20 * 0.1 * 60 - 200
        collides = shape.intersection(turned).area > 5
        assert (one == other) != collides, (one, other)
        assert one != other or fits


def test_pieces_lie_within_their_load_apart_from_each_other(any_cut):
    asked = any_cut.options["bed"]
    for load in any_cut.loads:
        width, height = load.size
        if len(asked) == 1:
            assert height == asked[0] and width <= 5081
        elif any_cut.is_frame or any_cut.options["bed"] != (5070, 5070):
            assert sorted((width, height)) == sorted(asked)
        shapes = [Polygon(piece.cut[-1]) for piece in load.pieces.values()]
        kerf = any_cut.options["kerf"]
        room = box(0, 0, width, height).buffer(-BETWEEN_MM + 0.01, join_style="mitre")
        assert all(room.contains(shape) for shape in shapes)
        for one, other in itertools.combinations(shapes, 2):
            assert one.distance(other) >= BETWEEN_MM - 0.01, kerf


def test_nothing_is_stroked_twice(any_cut):
    for load in any_cut.loads:
        lines = [line for piece in load.pieces.values() for line in piece.lines()]
        # Rounded to a micrometre so that overlaps are not missed by a rounding error; a letter may touch itself.
        union = unary_union(lines, grid_size=1e-3)
        apart = sum(unary_union([line], grid_size=1e-3).length for line in lines)
        assert union.length == pytest.approx(apart, abs=0.05)


def test_scores_stay_on_the_material_and_follow_the_centreline_and_the_axles(any_cut):
    scores = []
    for piece, (outline, openings) in zip(any_cut.pieces, any_cut.finished):
        room = outline.buffer(TRUE_MM).difference(unary_union(openings).buffer(0.4))
        shapely.prepare(room)
        lines = [LineString(piece.on_floor(path)) for path in piece.score]
        assert np.all(shapely.contains(room, lines)), piece.name
        scores += lines
    # Those along the lines alone: letters are many.
    lines = list(axle_lines(any_cut))
    together = unary_union([s for s in scores if any(line.distance(s) < 0.1 for line in lines)]).buffer(0.1)
    clear = any_cut.material.buffer(-NOTCH_MM - 1).difference(unary_union(any_cut.openings).buffer(2))
    for line in lines:
        assert line.intersection(clear).difference(together).length < 5 * len(any_cut.pieces)


def test_every_piece_has_a_name_that_keeps_off_cuts_and_other_scores(any_cut):
    for piece, (outline, openings) in zip(any_cut.pieces, any_cut.finished):
        cut = unary_union([outline.exterior, *openings])
        marks = [LineString(piece.on_floor(path)) for path in piece.score]
        letters = [line for line in marks if line.distance(cut) > 1.5]
        assert len(letters) >= 3, piece.name


def test_scores_come_first_and_the_tool_does_not_run_about(any_cut):
    for load in any_cut.loads:
        layers = [layer for layer, _, _ in load.order]
        assert layers == sorted(layers, key=lambda layer: layer == "cut")
        pieces = [piece for layer, piece, _ in load.order if layer == "cut"]
        assert len(list(itertools.groupby(pieces))) == len(set(pieces)), "a piece is left and come back to"
        cuts = [path for layer, _, path in load.order if layer == "cut"]
        travel = sum(math.dist(one[-1], other[0]) for one, other in itertools.pairwise(cuts))
        # No way from start to start is shorter than the shortest tree that ties them together.
        starts = np.array([path[0] for path in cuts])
        tree = minimum_spanning_tree(distance_matrix(starts, starts)).sum()
        assert travel < 3 * tree + 2 * max(load.size), (travel, tree)


def test_svg_pdf_and_dxf_hold_the_same_paths_at_the_same_size(any_cut):
    printed = cutting.read_pdf(any_cut.folder / "cut.pdf")
    drawings = sorted(any_cut.folder.glob("cut-*.dxf"))
    assert len(printed) == len(drawings) == len(any_cut.loads)
    for number, (load, (title, size, widths, paths), drawing) in enumerate(zip(any_cut.loads, printed, drawings), 1):
        assert title == f"Load {number}" and size == pytest.approx(load.size, abs=0.001)
        _, runs = dxf.read(drawing)
        assert [layer for layer, _, _ in load.order] == [layer for layer, _ in paths] == [run.layer.lower() for run in runs]
        mine = [LineString(path) for _, _, path in load.order]
        for theirs in ([path for _, path in paths], [run.points for run in runs]):
            for line, points in zip(mine, theirs, strict=True):
                assert shapely.distance(line, shapely.points(points)).max() < 0.005
                assert shapely.length(LineString(points)) == pytest.approx(line.length, rel=1e-3)
        for layer, width in widths.items():
            assert width == pytest.approx(any_cut.options["hairline"], abs=0.001)
            assert load.strokes[layer] == pytest.approx(any_cut.options["hairline"], abs=1e-6)
        assert all(run.closed for run in runs if run.layer == "CUT")


def test_the_svg_says_its_size_in_millimetres_and_everything_lies_within(any_cut):
    for load, path in zip(any_cut.loads, sorted(any_cut.folder.glob("cut-*.svg"))):
        assert load.width.endswith("mm") and load.height.endswith("mm")
        assert load.view_box == f"0 0 {load.width[:-2]} {load.height[:-2]}"
        data = path.read_text(encoding="utf-8")
        assert "<text" not in data and "<image" not in data and "<use" not in data


def spelled(name):
    """A name as PDF writes it (ISO 32000-1, 7.3.5)."""
    plain = lambda byte: 33 <= byte <= 126 and chr(byte) not in "()<>[]{}/%#"
    return "/" + "".join(chr(byte) if plain(byte) else f"#{byte:02X}" for byte in name.encode())


def test_the_pdf_has_no_text_and_its_strokes_are_in_named_spot_colours(any_cut):
    options = any_cut.options
    scores = "pen" if options.get("pen-names") else "score"
    names = {"cut": options["spot"], scores: options["score-spot"]}
    colours = {"cut": options["cut-colour"].lower(), scores: options["score-colour"].lower()}
    for load in any_cut.loads:
        assert load.spots == names and load.colours == colours
    with pymupdf.open(any_cut.folder / "cut.pdf") as document:
        objects = [document.xref_object(number) for number in range(1, document.xref_length())]
        separations = [text for text in objects if "/Separation" in text]
        for layer, name in names.items():
            shown = [int(colours[layer][at : at + 2], 16) / 255 for at in (1, 3, 5)]
            of_name = [text for text in separations if spelled(name) in text.split()]
            assert of_name, (name, separations)
            full = re.search(r"/C1\s*\[([^\]]*)\]", of_name[0]).group(1)
            assert [float(part) for part in full.split()] == pytest.approx(shown, abs=1e-4)
        for page in document:
            assert not page.get_text().strip() and not page.get_fonts() and not page.get_images()
            commands = page.read_contents().split()
            assert b"Tj" not in commands and b"BT" not in commands
            assert commands.count(b"S") == len(page.get_cdrawings())
            # Nothing is stroked in a process colour.
            assert not {b"G", b"RG", b"K"} & set(commands) and b"SCN" in commands


def test_a_cut_page_is_the_sheet_of_material(any_cut):
    with pymupdf.open(any_cut.folder / "cut.pdf") as document:
        for page in document:
            assert list(page.trimbox) == pytest.approx(list(page.mediabox), abs=0.01)


def overprinting_layers(page):
    """(layers for a cutter, those of them whose strokes are overprinted) of a page, by its operators."""
    cutter, overprinted, layer = set(), set(), None
    for line in page.read_contents().decode("latin-1").splitlines():
        match line.split():
            case ["/OC", name, "BDC"]:
                layer = name.removeprefix("/")
            case [name, "gs"]:
                state = dictionary_of(page, "ExtGState", name.removeprefix("/"))
                if re.search(r"/OP\s+true", state) and re.search(r"/OPM\s+1", state):
                    overprinted.add(layer)
            case [*_, "SCN"]:
                cutter.add(layer)
    return cutter, overprinted


def dictionary_of(page, kind, name):
    """The source of one of a page's resources."""
    document = page.parent
    found = document.xref_get_key(page.xref, f"Resources/{kind}/{name}")
    assert found[0] == "xref", found
    return document.xref_object(int(found[1].split()[0]))


def test_spot_strokes_leave_what_is_printed_below_them_standing_wherever_there_are_any(demo, any_cut):
    seen = set()
    for path in [*demo.folder.glob("*.pdf"), any_cut.folder / "cut.pdf"]:
        with pymupdf.open(path) as document:
            for page in document:
                cutter, overprinted = overprinting_layers(page)
                assert cutter == overprinted, (path.name, page.number)
                seen |= {(path.name, layer) for layer in cutter}
    assert {("stencils.pdf", "cut"), ("stencils.pdf", "score"), ("cut.pdf", "cut")} <= seen


def test_the_sheets_carry_the_cut_paths_on_layers_that_a_plain_print_does_not_show(demo):
    with pymupdf.open(demo.path("stencils.pdf")) as document:
        shown = {entry["text"]: entry for entry in document.layer_ui_configs()}
        assert not shown["cut"]["on"] and not shown["score"]["on"] and shown["lines"]["on"]
        for name in ("cut", "score"):
            document.set_layer_ui_config(shown[name]["number"], 0)
        found = 0
        for sheet in demo.sheets["sheets"]:
            page = document.reload_page(document[sheet["page"] - 1])
            a, b, c, d, e, f = sheet["floor_to_page"]
            height = page.rect.height * vectors.MM_PER_POINT
            cuts = [drawing for drawing in page.get_cdrawings() if drawing["layer"] == "cut"]
            circles = [[side * vectors.MM_PER_POINT for side in drawing["rect"]] for drawing in cuts]
            for x, y in demo.marks.values():
                at = (a * x + c * y + e, b * x + d * y + f)
                for rect in circles:
                    middle = ((rect[0] + rect[2]) / 2, height - (rect[1] + rect[3]) / 2)
                    # The reader takes handles of curves into its rectangles.
                    found += math.dist(middle, at) < 0.2 and abs(rect[2] - rect[0] - HOLE_MM) < 0.8
        assert found >= len(demo.marks)


def black_plate(path, shown, page, folder):
    """The black of a page as a press prints it that overprints (MuPDF), the cutter's layers shown or hidden."""
    with pymupdf.open(path) as document:
        cutter = [xref for xref, group in document.get_ocgs().items() if group["name"] in ("cut", "score")]
        document.set_layer(-1, on=cutter if shown else [], off=[] if shown else cutter)
        document.save(folder / "shown.pdf")
    subprocess.run(
        ["mutool", "draw", "-q", "-r", "150", "-F", "pam", "-c", "cmyk", "-O", "1", "-o", folder / "page.pam", folder / "shown.pdf", str(page)],
        check=True, capture_output=True,
    )
    head, pixels = (folder / "page.pam").read_bytes().split(b"ENDHDR\n", 1)
    size = {name: int(re.search(rf"{name} (\d+)", head.decode())[1]) for name in ("HEIGHT", "WIDTH", "DEPTH")}
    assert size["DEPTH"] == 4
    return np.frombuffer(pixels, np.uint8).reshape(size["HEIGHT"], size["WIDTH"], 4)[:, :, 3].astype(int)


def test_a_printer_that_overprints_loses_no_print_below_the_paths(demo, tmp_path):
    with pymupdf.open(demo.path("stencils.pdf")) as document:
        pages = [page.number + 1 for page in document if overprinting_layers(page)[0]][:3]
    assert len(pages) == 3
    for page in pages:
        hidden, shown = (black_plate(demo.path("stencils.pdf"), way, page, tmp_path) for way in (False, True))
        assert (hidden > 100).any() and not (hidden - shown > 40).any(), page


def test_a_kit_has_the_same_cut_files_as_the_command_for_them_alone(demo):
    alone = made("plain")
    names = sorted(path.name for path in alone.folder.glob("cut*"))
    assert names == sorted(path.name for path in demo.folder.glob("cut*")) and "cut-map.pdf" in names
    for name in names:
        assert demo.path(name).read_bytes() == (alone.folder / name).read_bytes(), name


def test_the_demonstration_frame_is_light_and_fills_its_loads():
    cut = made("plain")
    area = sum(material.area for material in cut.materials) / 1e6
    used = [sum(Polygon(p.cut[-1]).area for p in load.pieces.values()) / math.prod(load.size) for load in cut.loads]
    assert area <= 3.6 and len(used) <= 5 and all(part >= 0.75 for part in used[:-1]), (area, used)


def test_the_map_names_every_piece_and_every_load(demo):
    cut = made("plain")
    with pymupdf.open(demo.path("cut-map.pdf")) as document:
        words = {word[4].rstrip(",") for page in document for word in page.get_text("words")}
    assert {piece.name for piece in cut.pieces} <= words
    assert {f"(cut-{number:02})" for number in range(1, len(cut.loads) + 1)} <= words


SEEDS = range(24)


@pytest.mark.parametrize("seed", SEEDS)
def test_any_layout_makes_pieces_that_hold_and_lie_together(seed, tmp_path):
    random_layout.written(seed, tmp_path)
    dice = random_layout.Random(seed)
    options = {
        "bed": dice.choice([(1200, 800), (600, 400), (900,), (2500, 1250)]), "kerf": dice.choice([0.0, 0.2, 3.0]),
        "bridge": dice.choice([4.0, 8.0]), "border": dice.choice([40.0, 60.0, 100.0]), "partial": True,
    }
    out = tmp_path / "cut"
    done = kit.run("cut", "job.toml", *flags(options), "-o", out, folder=tmp_path)
    if done.returncode:
        # A small bed may find no place for a joint between marks, a tool may be wider than a slot.
        assert "divide the stencil" in done.stderr or "kerf" in done.stderr, done.stderr
        assert not out.exists()
        return
    cut = Cut(out, (tmp_path / "job.toml",), options)
    hold_together(cut)
    keep_off(cut)
    lie_together(cut)
    slots_on_strips(cut, whole=False)


def test_a_mat_that_cannot_be_cut_whole_is_refused_and_cut_in_part_when_asked(tmp_path):
    vehicles = [part for name in ("city-car", "delivery-van", "estate", "compact-hatchback") for part in ("--vehicle", name)]
    done = kit.run("cut", *vehicles, "--template", "perimeter-lines", "-o", "out", folder=tmp_path)
    assert done.returncode == 3 and "cannot be cut whole" in done.stderr and "--partial" in done.stderr, done.stderr
    assert not (tmp_path / "out").exists()
    assert kit.run("cut", *vehicles, "--template", "perimeter-lines", "--partial", "-o", "out", folder=tmp_path).returncode == 0
    # The sheets of a kit serve all the same; only what is cut by a machine is left out, and that is said.
    done = kit.run("kit", *vehicles, "--template", "perimeter-lines", "-o", "kit", folder=tmp_path)
    assert done.returncode == 0 and "cannot be cut whole" in done.stderr, done.stderr
    assert (tmp_path / "kit/stencils.pdf").exists() and not list((tmp_path / "kit").glob("cut*"))


@pytest.mark.parametrize(
    ("flag", "value", "told"),
    [
        ("--kerf", "60mm", "narrowest slot of 50 mm"), ("--kerf", "-1mm", "0 to 5 mm"), ("--kerf", "nan", "length"),
        ("--bridge", "400mm", "2 to 50 mm"), ("--bridge", "0", "2 to 50 mm"), ("--bridge-every", "20mm", "--bridge"),
        ("--bed", "100mmx100mm", "300 to 5080 mm"), ("--bed", "100mm", "300 to 5080 mm"), ("--bed", "1200x", "1200mmx800mm"),
        ("--bed", "9mx9m", "300 to 5080 mm"), ("--bed", "axb", "1200mmx800mm"), ("--corner", "26mm", "at most 25 mm"),
        ("--border", "7mm", "24 to 500 mm"), ("--border", "-60mm", "24 to 500 mm"), ("--border", "wide", "length"),
        ("--hairline", "0", "0.01 to 1 mm"), ("--hairline", "5mm", "0.01 to 1 mm"),
        ("--spot", "", "1 to 60 characters"), ("--spot", "a\tb", "1 to 60 characters"), ("--score-spot", "All", "neither All nor None"),
        ("--spot", "score", "a name of its own"), ("--score-spot", "x" * 61, "1 to 60 characters"),
        ("--cut-colour", "red", "as in #ff00ff"), ("--score-colour", "#FF00FF", "a colour of its own"),
    ],
)
@pytest.mark.parametrize("command", ["kit", "cut", "stencils"])
def test_what_cannot_be_cut_is_refused_with_the_remedy_and_nothing_written(tmp_path, command, flag, value, told):
    done = kit.run(command, f"{flag}={value}", "-o", "out", folder=tmp_path)
    assert done.returncode == 3, done.stderr
    assert flag in done.stderr and told in done.stderr and "panicked" not in done.stderr, done.stderr
    assert not (tmp_path / "out").exists()


def test_a_kerf_that_takes_the_tabs_is_refused_with_the_border(tmp_path):
    done = kit.run("cut", "--border=24mm", "--kerf=5mm", "-o", "out", folder=tmp_path)
    assert done.returncode == 3 and "tab" in done.stderr and "wider border" in done.stderr, done.stderr
