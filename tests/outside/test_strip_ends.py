"""Where tape strips end: what plan.json says, recomputed from marks and widths, and whether corners are dark on paper."""

import math

import numpy as np
import pytest
from shapely.geometry import LineString, Point, box

import kit
import test_pictures as pictures
from floor import Floor, band

# How near to a strip an end has to lie to end on it, and how far a computed end may be off, mm.
ON_MM, SAME_MM = 0.1, 0.01

# Least angle, in degrees, at which a strip ends on another.
LEAST_ANGLE = 30.0

TEMPLATE = """format = "template/1"
name = "corners"
purpose = "Strips that meet in all ways."

[[stations]]
name = "front"
meaning = "front line"
from = "front bumper"
ahead = "1 m"

[[stations]]
name = "rear"
meaning = "rear line"
from = "rear bumper"
behind = "1 m"

[[rails]]
name = "side"
from = "body side"
outward = "800 mm"

[[rails]]
name = "out"
from = "side"
outward = "600 mm"

[[marks]]
stations = ["front", "rear"]
rails = ["centre", "side", "out"]
tolerance = "5 mm"

[[lines]]
from = "front/side/left"
to = "front/side/right"
width = "60 mm"
{line}

[[lines]]
from = "front/side"
to = "rear/side"
sides = "both"
width = "40 mm"
{line}

[[lines]]
from = "rear/centre"
to = "rear/out"
sides = "both"
width = "20 mm"
past_to = "75 mm"
{line}

[[lines]]
from = "front/out"
to = "rear/side"
sides = "both"
width = "30 mm"
{line}
"""


def written(folder, line=""):
    """A kit on a template of one's own, with a key for every line."""
    path = folder / f"corners{len(line)}.toml"
    path.write_text(TEMPLATE.format(line=line))
    return kit.made("--template", str(path), "--vehicle", "estate")


def past(plan, line, end):
    """How far a strip with square ends runs past a mark: to where a string in its direction leaves the last strip that
    the mark lies on."""
    floor = Floor(plan)
    (at, back) = (floor.marks[line["from"]], floor.marks[line["to"]])[:: -1 if end else 1]
    away = np.subtract(at, back) / math.dist(at, back)
    reach = 0.0
    for other, span in zip(plan["lines"], floor.spans):
        along = np.subtract(*reversed(span.coords)) / span.length
        sine = abs(along[0] * away[1] - along[1] * away[0])
        if other is line or not band(span, other["width_mm"]).buffer(ON_MM).contains(Point(at)):
            continue
        if sine < math.sin(math.radians(LEAST_ANGLE)):
            continue
        # The strip without its ends: what leaves it leaves it over an edge.
        (x0, y0), (x1, y1) = span.coords
        far = 10_000 * along
        endless = band(LineString([(x0 - far[0], y0 - far[1]), (x1 + far[0], y1 + far[1])]), other["width_mm"])
        string = LineString([at, np.add(at, 5000 * away)])
        reach = max(reach, string.intersection(endless).length)
    return reach


@pytest.mark.parametrize("vehicle, template", [("delivery-van", "perimeter-lines"), ("city-car", "rear-corner-arcs"), ("estate", None)])
def test_square_ends_run_to_the_outer_edge_of_the_strip_that_they_end_on(vehicle, template, tmp_path):
    inward = ("--set", "cross_inward=100mm") if template == "perimeter-lines" else ()
    made = kit.made("--vehicle", vehicle, "--template", template, *inward) if template else written(tmp_path)
    carried = {"2L": 100.0, "2R": 100.0, "3L": 100.0, "3R": 100.0} if inward else {}
    for line in made.plan["lines"]:
        assert line["ends"] == "square"
        for end, found in enumerate(line["past_mm"]):
            own = carried.get(line["from"], 0.0) if end == 0 else (75.0 if not template and line["width_mm"] == 20 else 0.0)
            assert found == pytest.approx(max(own, past(made.plan, line, end)), abs=SAME_MM), (line, end)


def test_ends_at_marks_leave_what_square_ends_fill(tmp_path):
    square, at_mark = written(tmp_path), written(tmp_path, 'ends = "at mark"')
    for line in at_mark.plan["lines"]:
        assert line["ends"] == "at mark" and line["past_mm"] == [0.0, 75.0 if line["width_mm"] == 20 else 0.0]
    corner = Point(square.marks["1L"])
    quarter = box(corner.x, corner.y, corner.x + 30, corner.y + 20)
    assert Floor(square.plan).taped.contains(quarter.buffer(-0.01))
    assert Floor(at_mark.plan).taped.intersection(quarter).area < quarter.area / 2


def dark_at_corner(made, corner):
    """Share of a corner's outer quarter that `floor.svg` and the sheets show as tape."""
    root = pictures.svg_of(made)
    turn, shift = pictures.placement(root, made.marks)
    picture = pictures.drawn_by_resvg(root, ("lines",))
    pages = pictures.drawn_by_poppler(made, ("lines",))
    sheets = pictures.pasted(made, pages, turn, shift, root, picture.shape)
    points = [turn @ (np.array(made.marks[corner]) + away) + shift for away in ((5, 5), (20, 20))]
    (x0, y0), (x1, y1) = np.min(points, axis=0), np.max(points, axis=0)
    height = pictures.size_of(root)[1]
    rows, columns = slice(round(height - y1), round(height - y0)), slice(round(x0), round(x1))
    return [float((drawn[rows, columns] < 250).mean()) for drawn in (picture, sheets)]


def test_the_corner_is_dark_on_the_floor_drawing_and_on_the_sheets():
    whole = kit.made("--vehicle", "delivery-van", "--template", "perimeter-lines")
    assert dark_at_corner(whole, "1L") == pytest.approx([1.0, 1.0], abs=0.02)


def test_cross_lines_lie_before_or_behind_the_wheels_and_on_both_sides_of_the_side_line():
    plan = kit.plan(
        "--vehicle", "delivery-van", "--template", "perimeter-lines", "--set", "front_cross=-250mm",
        "--set", "rear_cross=300mm", "--set", "cross_inward=150mm",
    )
    wheelbase = plan["vehicle"]["dimensions_mm"]["wheelbase_left"]
    crosses = [line for line in plan["lines"] if line["from"][0] == line["to"][0] and line["to"].endswith("2")]
    floor = Floor(plan)
    assert len(crosses) == 4
    sides = {name: floor.marks[name][1] for name in ("1L", "1R")}
    for line in crosses:
        x, y = floor.marks[line["from"]]
        assert x == pytest.approx(-250 if line["from"][0] == "2" else 300 - wheelbase, abs=SAME_MM)
        assert y == pytest.approx(sides["1" + line["from"][1]], abs=SAME_MM)
        assert line["past_mm"] == [150.0, 0.0]


@pytest.mark.parametrize("line, said", [
    ('ends = "round"', '"square"'),
    ('past_from = "-5 mm"', "0 to 2000 mm"),
    ('past_from = "3 m"', "0 to 2000 mm"),
    ('past_from = "30 deg"', "length"),
])
def test_ends_that_cannot_be_are_refused_with_what_can(line, said, tmp_path):
    path = tmp_path / "corners.toml"
    path.write_text(TEMPLATE.format(line=line))
    result = kit.run("plan", "--template", path, "--vehicle", "estate", folder=tmp_path)
    assert result.returncode == 3 and said in result.stderr
