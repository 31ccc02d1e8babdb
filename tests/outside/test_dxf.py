"""floor.dxf and the cut files for machines against the SVG of the same: the same lines at the same places."""

import math
import re
from xml.etree import ElementTree

import pytest
from shapely import hausdorff_distance
from shapely.geometry import LineString, Point

import cutting
import dxf
import kit
import random_layout

# The same geometry in both formats, mm.
SAME_MM = 0.001

# How far the chords of a cubic may stray from it, mm, as of an arc.
CHORD_MM = dxf.CHORD_MM

FLOOR_LAYERS = ["panels", "lines", "vehicle", "marks", "labels", "registration", "score", "cut"]
SEEDS = range(12)


@pytest.fixture(scope="module", params=[
    pytest.param((v, t), id=f"{v}-{t}", marks=pytest.mark.xdist_group(f"dxf-{v}-{t}"))
    for v in kit.names("vehicles") for t in kit.names("templates")
])
def built_in(request):
    vehicle, template = request.param
    return kit.made("--vehicle", vehicle, "--template", template)


def cubic(p0, p1, p2, p3):
    """Points of a cubic so near to each other that its chords stray less than CHORD_MM."""
    # Chords of equal parameter steps h stray at most h²/8 times the largest second derivative.
    second = max(
        6 * math.hypot(a[0] - 2 * b[0] + c[0], a[1] - 2 * b[1] + c[1]) for a, b, c in ((p0, p1, p2), (p1, p2, p3))
    )
    count = max(1, math.ceil(math.sqrt(second / 8 / CHORD_MM)))
    for step in range(1, count + 1):
        t = step / count
        weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        yield tuple(sum(w * p[axis] for w, p in zip(weights, (p0, p1, p2, p3))) for axis in (0, 1))


def svg_runs(data, filled):
    """The runs of a path of M, L, C and Z, y down; a filled run is closed."""
    runs = []
    for letter, numbers in re.findall(r"([A-Za-z])([^A-Za-z]*)", data):
        values = [float(n) for n in numbers.split()]
        pairs = list(zip(values[::2], values[1::2]))
        if letter == "M":
            runs.append(([pairs[0]], filled))
        elif letter == "L":
            runs[-1][0].extend(pairs)
        elif letter == "C":
            runs[-1][0].extend(cubic(runs[-1][0][-1], *pairs))
        else:
            assert letter == "Z", letter
            runs[-1] = (runs[-1][0], True)
    for points, closed in runs:
        if closed and math.dist(points[0], points[-1]) > 1e-4:
            points.append(points[0])
    return runs


def floor_svg(path):
    """(height, layer → runs in order with y up, texts) of a floor.svg."""
    root = ElementTree.parse(path).getroot()
    height = float(root.get("height").removesuffix("mm"))
    layers, words = {}, []
    for group in root.findall(cutting.SVG + "g"):
        runs = [
            run for element in group.findall(cutting.SVG + "path")
            for run in svg_runs(element.get("d"), element.get("fill") != "none")
        ]
        if runs:
            layers[group.get("id")] = [([(x, height - y) for x, y in points], closed) for points, closed in runs]
        words += [element.text for element in group.findall(cutting.SVG + "text")]
    return layers, words


def same_floor(folder):
    document, runs = dxf.read(folder / "floor.dxf")
    layers, words = floor_svg(folder / "floor.svg")
    found = {name: [run for run in runs if run.layer == name.upper()] for name in FLOOR_LAYERS}
    assert {name for name, of in found.items() if of} == set(layers)
    assert dxf.layers(document) == {name.upper() for name in layers} | dxf.OWN_LAYERS
    for name, expected in layers.items():
        for run, (points, closed) in zip(found[name], expected, strict=True):
            assert run.closed == closed
            assert hausdorff_distance(LineString(run.points), LineString(points)) < SAME_MM, (name, points[0])
    assert sorted(text for text, _ in dxf.texts(document)) == sorted(words)
    assert not document.layers.get("TEXT").is_on()
    return document, found


def test_the_floor_for_cad_has_the_lines_of_its_picture(built_in):
    same_floor(built_in.folder)


def test_marks_have_their_names_where_their_crosses_are(built_in):
    document, found = same_floor(built_in.folder)
    names = dict(dxf.texts(document))
    assert set(built_in.marks) <= set(names)
    # One shift takes the plan's marks to the middles of the crosses' holes.
    holes = [run for run in found["marks"] if run.closed]
    first, (x, y) = next(iter(built_in.marks.items()))
    for run in holes:
        at = LineString(run.points).centroid
        shift = (at.x - x, at.y - y)
        places = {name: Point(px + shift[0], py + shift[1]) for name, (px, py) in built_in.marks.items()}
        if all(place.distance(Point(names[name].x, names[name].y)) < 25 for name, place in places.items()):
            return
    raise AssertionError(f"no cross for {first} from which all names lie beside theirs")


@pytest.mark.parametrize("seed", SEEDS)
def test_layouts_from_a_seed_have_the_same_floor_in_both_formats(seed, tmp_path):
    job = random_layout.written(seed, tmp_path)
    done = kit.run("kit", job, "-o", tmp_path / "kit", "--yes")
    assert done.returncode == 0, done.stderr
    same_floor(tmp_path / "kit")


def test_discs_and_mats_and_slanting_strips_have_the_same_floor_in_both_formats():
    for arguments in (
        ("--template", "rear-corner-arcs", "--set", "disc=400mm"),
        ("--vehicle", "city-car", "--vehicle", "estate", "--template", "target-line"),
    ):
        same_floor(kit.made(*arguments).folder)


def cut_pairs():
    """(SVG, DXF) of each load that the demonstration job is cut from, and of one with arcs."""
    folders = [kit.made().folder, kit.made("--template", "rear-corner-arcs", "--set", "disc=400mm", "--kerf", "0.2mm").folder]
    return [(path, path.with_suffix(".dxf")) for folder in folders for path in sorted(folder.glob("cut*.svg"))]


def test_cut_files_for_machines_have_the_paths_of_their_pictures():
    pairs = cut_pairs()
    assert pairs
    for picture, machine in pairs:
        root = ElementTree.parse(picture).getroot()
        height = float(root.get("height").removesuffix("mm"))
        document, runs = dxf.read(machine)
        assert dxf.layers(document) == {"CUT", "SCORE", "PEN"} | dxf.OWN_LAYERS
        left = list(runs)
        for group in root.iter(cutting.SVG + "g"):
            for element in group.findall(cutting.SVG + "path"):
                for points, closed in svg_runs(element.get("d"), False):
                    line = LineString([(x, height - y) for x, y in points])
                    layer = group.get("id").split("-")[0].upper()
                    same = [
                        run for run in left if run.layer == layer and run.closed == closed
                        and math.dist(run.points[0], line.coords[0]) < SAME_MM
                        and hausdorff_distance(LineString(run.points), line) < SAME_MM
                    ]
                    assert same, (picture.name, layer, points[0])
                    left.remove(same[0])
        assert not left
