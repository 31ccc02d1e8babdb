"""A mat for several vehicles: put together again from its pages, and each vehicle's part of it told from the others'.

What a vehicle needs is asked of the program with that vehicle alone; the mat is held against it with shapely.
"""

import csv
import functools
import io
import itertools
import json
import math
import re
from collections import defaultdict

import numpy as np
import pytest
from shapely import unary_union
from shapely.geometry import LineString, Point
from shapely.strtree import STRtree

import kit
import proof
import sheet as sheet_module
import test_overview
import vectors
from floor import Floor

LETTERS = "ABCD"

# plan.json holds a tenth of a micrometre; a line of millimetres is not shorter for it.
NUMBER_MM = 0.001

TWO, THREE = ("city-car", "delivery-van"), ("city-car", "compact-hatchback", "estate")
# The same vehicle but for its tail: most marks and lines are shared, the side lines in part.
ALIKE = ("estate", str(kit.ROOT / "tests" / "outside" / "inputs" / "long-estate.toml"))
MATS = [(vehicles, template) for vehicles in (TWO, THREE, ALIKE) for template in ("perimeter-lines", "side-and-end-panels")]


class Mat:
    """The kit of a mat, and the plan of each of its vehicles alone."""

    def __init__(self, vehicles, template):
        flags = [word for vehicle in vehicles for word in ("--vehicle", vehicle)]
        self.vehicles, self.template = vehicles, template
        self.kit = kit.made(*flags, "--template", template, "--paper", "A4")
        self.letters = LETTERS[: len(vehicles)]
        self.alone = {
            letter: kit.plan("--vehicle", vehicle, "--template", template)
            for letter, vehicle in zip(self.letters, vehicles)
        }

    @functools.cached_property
    def floor(self):
        return Floor(self.kit.plan)

    @functools.cached_property
    def sheets(self):
        return sheet_module.sheets_of(self.kit)[0]

    def marks_of(self, letter):
        """The vehicle's own mark names → the mat's marks that carry its letter."""
        found = {}
        for mark in self.kit.plan["marks"]:
            for part in mark["id"].split("="):
                letters, name = part.split(":")
                if letter in letters:
                    found[name] = mark
        return found


@functools.lru_cache(maxsize=len(MATS))
def opened(vehicles, template):
    return Mat(vehicles, template)


@pytest.fixture(scope="module", params=MATS, ids=lambda mat: f"{mat[0][-1][-12:]}-{mat[1]}")
def mat(request):
    return opened(*request.param)


def assert_none(faults):
    assert not faults, f"{len(faults)} faults:\n" + "\n".join(faults[:20])


def test_the_floor_put_together_again_from_the_pages_is_the_mats(mat):
    assert_none(proof.all_faults(mat.floor, mat.sheets))


def test_every_vehicles_marks_are_on_the_mat_in_their_place_under_its_letter(mat):
    for letter, alone in mat.alone.items():
        marks = mat.marks_of(letter)
        assert sorted(marks) == sorted(mark["id"] for mark in alone["marks"])
        for mark in alone["marks"]:
            found = marks[mark["id"]]
            assert letter in found["vehicles"]
            assert (found["x_mm"], found["y_mm"]) == pytest.approx((mark["x_mm"], mark["y_mm"]), abs=NUMBER_MM)


def test_each_vehicles_lines_and_panels_are_those_it_has_alone(mat):
    for letter, alone in mat.alone.items():
        own = [axis for axis, line in zip(mat.floor.axes, mat.kit.plan["lines"]) if letter in line["vehicles"]]
        expected = Floor(alone)
        assert _differ(unary_union(own), unary_union(expected.axes)) < NUMBER_MM
        panels = [panel for panel in mat.kit.plan["panels"] if letter in panel["vehicles"]]
        outlines = sorted(str(panel["fields"]) for panel in panels)
        assert outlines == sorted(str(panel["fields"]) for panel in alone["panels"])


def _differ(one, other):
    """Length of what only one of two sets of lines has."""
    return one.difference(other.buffer(NUMBER_MM)).length + other.difference(one.buffer(NUMBER_MM)).length


def test_vehicles_alike_share_their_marks_and_the_stretches_that_both_use():
    plan = opened(ALIKE, "perimeter-lines").kit.plan
    # Eleven of fourteen marks do not depend on the rear bumper; the rear end's three do.
    assert sum(mark["id"].startswith("AB:") for mark in plan["marks"]) == 11 and len(plan["marks"]) == 17
    users = {(line["from"], line["to"]): "".join(line["vehicles"]) for line in plan["lines"]}
    assert users["AB:1L", "A:4L"] == "AB" and users["A:4L", "B:4L"] == "B"


def test_no_stretch_of_a_line_is_on_the_mat_twice(mat):
    for (one, a), (other, b) in itertools.combinations(zip(mat.kit.plan["lines"], mat.floor.spans), 2):
        assert a.intersection(b).length < NUMBER_MM, (one, other)


def test_marks_of_different_vehicles_lie_far_enough_apart_to_be_told_apart(mat):
    for a, b in itertools.combinations(mat.kit.plan["marks"], 2):
        if not set(a["vehicles"]) & set(b["vehicles"]):
            # Two crosses with arms of 15 mm cannot cross from 15 mm · √2 on.
            assert Point(a["x_mm"], a["y_mm"]).distance(Point(b["x_mm"], b["y_mm"])) > proof.MARK_ARM_MM * 2**0.5


def kind(stroke):
    """A dash pattern without its size: lengths as multiples of the first."""
    return tuple(round(length / stroke.pattern[0], 2) for length in stroke.pattern)


@functools.lru_cache(maxsize=2)
def arm_patterns(mat):
    """Letters of a mark's users → dash patterns of the crosses of such marks."""
    places = {mark["id"]: (Point(mark["x_mm"], mark["y_mm"]), "".join(mark["vehicles"])) for mark in mat.kit.plan["marks"]}
    patterns = defaultdict(set)
    for sheet in mat.sheets:
        for stroke in sheet.page.strokes:
            if stroke.layer != "marks":
                continue
            for start, end in stroke.segments():
                if abs(math.dist(start, end) - 2 * proof.MARK_ARM_MM) > proof.TOLERANCE_MM:
                    continue
                middle = sheet.on_floor(LineString([start, end]).interpolate(0.5, normalized=True))
                users = [users for at, users in places.values() if at.distance(middle) < proof.TOLERANCE_MM]
                assert len(users) == 1
                patterns[users[0]].add(kind(stroke))
    return patterns


def test_each_vehicles_crosses_have_a_dash_pattern_of_their_own(mat):
    patterns = arm_patterns(mat)
    assert set(mat.letters) <= set(patterns)
    assert all(len(found) == 1 for found in patterns.values()), patterns
    own = {letter: next(iter(patterns[letter])) for letter in mat.letters}
    assert len(set(own.values())) == len(own), own
    for users, found in patterns.items():
        assert len(users) == 1 or next(iter(found)) not in own.values()


def test_strips_are_drawn_in_the_pattern_of_the_vehicle_that_has_them_alone(mat):
    crosses = arm_patterns(mat)
    seen = defaultdict(set)
    tree, lines = STRtree(mat.floor.axes), mat.kit.plan["lines"]
    for sheet in mat.sheets:
        drawn = [(stroke, segment) for stroke in sheet.page.strokes if stroke.layer == "lines" for segment in stroke.segments()]
        middles = [sheet.on_floor(Point(np.mean(segment, axis=0))) for _, segment in drawn]
        for at, line in tree.query(middles, predicate="dwithin", distance=proof.TOLERANCE_MM).T if drawn else ():
            seen["".join(lines[line]["vehicles"])].add(kind(drawn[at][0]))
    # The edge of one vehicle's strip may run on another's axis; what is drawn along an axis holds its own pattern.
    for users, found in seen.items():
        if len(users) == 1:
            assert crosses[users] <= found, (users, found)
    assert seen or mat.template == "side-and-end-panels"


@pytest.fixture(scope="module")
def pages(mat):
    return vectors.read(mat.kit.path("overview.pdf"))


def test_the_overview_has_a_page_for_each_vehicle_with_its_own_table(mat, pages):
    said = [[text.content.strip() for text in page.texts] for page in pages]
    assert all(f"{number}/{len(pages)}" in texts for number, texts in enumerate(said, 1))
    for letter in mat.letters:
        # With long names a vehicle's list of lays goes on to the back of its page.
        own = [number for number, texts in enumerate(said) if f"vehicle {letter} of {len(mat.letters)}" in texts]
        assert 1 <= len(own) <= 2
        page, texts = pages[own[0]], said[own[0]]
        for name, mark in mat.marks_of(letter).items():
            # Once in the plan and once in the table, where its station stands in the same row.
            rows = [text.at[1] for text in page.texts if mark["id"] in text.content.split()]
            x = round(mark["x_mm"])
            station = f"{'↑' if x > 0 else '↓'} {abs(x)}" if x else "0"
            beside = {text.content.strip() for text in page.texts for y in rows if abs(text.at[1] - y) < 0.01}
            assert rows and station in beside, (letter, name)
        others = [mark["id"] for mark in mat.kit.plan["marks"] if letter not in mark["vehicles"]]
        assert not set(others) & set(texts)


def test_the_overview_and_sheet_0_explain_every_pattern(mat, pages):
    first = sheet_module.sheets_of(mat.kit)[1][0]
    names = {vehicle["letter"]: vehicle["name"] for vehicle in mat.kit.plan["vehicles"]}
    fronts = [page for page in pages if any(text.content == "On the mat" for text in page.texts)]
    assert len(fronts) == len(mat.letters)
    for page in [*fronts, first]:
        samples = {}
        for letter, name in names.items():
            at = [text.at for text in page.texts if text.content.strip() == letter]
            assert at and any(text.content.strip() == name for text in page.texts)
            samples[letter] = {
                kind(stroke) for x, y in at for stroke in page.strokes for (x0, y0), (x1, y1) in stroke.segments()
                if abs(y0 - y1) < 0.01 and 0 < y0 - y < 3 and 10 < x - x0 < 25 and x1 < x
            }
        assert samples == {letter: arm_patterns(mat)[letter] for letter in names}


def test_the_overviews_pages_are_legible(pages):
    for page in pages:
        test_overview.test_nothing_lies_outside_the_page(page)
        test_overview.test_no_lettering_is_smaller_than_1_8_mm(page)
        test_overview.test_no_two_texts_overlap(page)


def test_each_vehicle_has_its_overview_as_svg_and_png(mat):
    written = kit.files_in(mat.kit.folder)
    single = {f"overview-{letter}.{ending}" for letter in mat.letters for ending in ("svg", "png")}
    # Vehicles of one's own lie beside the job that names them.
    copies = {name for name in written if name.startswith("vehicle-")}
    assert all(f'"{name}"' in mat.kit.read("job.toml") for name in copies)
    backs = {name for name in written if re.fullmatch(r"overview-[A-Z]-2\.(svg|png)", name)}
    # Vehicles too near to each other cannot be cut whole: the kit then leaves the machine's files out, and says so.
    cut = set() if "cut.pdf" in written else {"cut.pdf", "cut-map.pdf"}
    assert written - copies - backs == kit.FILES - {"overview.svg", "overview.png"} - cut | single


def test_the_readings_form_has_every_vehicles_checks_between_the_mats_marks(mat):
    rows = list(csv.DictReader(io.StringIO(mat.kit.read("readings.csv"))))
    checks = mat.kit.plan["checks"]
    assert [row["check"] for row in rows] == [check["id"] for check in checks]
    assert [lay["lay"] for lay in mat.kit.plan["lays"]] == list(range(1, len(mat.kit.plan["lays"]) + 1))
    places = {name: Point(at) for name, at in mat.kit.marks.items()}
    for row in rows:
        if row["kind"] == "distance":
            taped = places[row["from"]].distance(places[row["to"]])
            assert float(row["should_be_mm"]) == pytest.approx(taped, abs=0.06)
    for letter, alone in mat.alone.items():
        ids = [row["check"] for row in rows if row["check"].startswith(f"{letter}:")]
        assert ids == [f"{letter}:{check['id']}" for check in alone["checks"]]
        proof = next(one for one in mat.kit.plan["proof"] if one["vehicle"] == letter)
        assert proof["minutes"] == alone["proof"]["minutes"]


def test_a_mark_or_a_strip_given_to_the_wrong_vehicle_would_be_noticed():
    mat = opened(TWO, "perimeter-lines")
    swapped = json.loads(json.dumps(mat.kit.plan))
    for mark in swapped["marks"]:
        mark["vehicles"] = ["B"] if mark["id"] == "A:1L" else mark["vehicles"]
    wrong = Mat(TWO, "perimeter-lines")
    wrong.kit = kit.Kit(mat.kit.folder)
    wrong.kit.plan = swapped
    assert len(arm_patterns(wrong)["B"]) == 2


@pytest.mark.parametrize("template", kit.names("templates"))
def test_vehicles_whose_marks_lie_too_near_are_refused_by_name(template):
    # Front overhangs of 925 and 905 mm: whatever is laid off the front bumpers lies 20 mm apart.
    done = kit.run("plan", "--template", template, "--vehicle", "estate", "--vehicle", "crew-cab-pickup")
    near = "lie 20 mm apart" in done.stderr
    assert near == (done.returncode == 3) and (near or template in ("target-line", "rear-corner-arcs"))
