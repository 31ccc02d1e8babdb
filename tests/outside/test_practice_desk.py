"""The layout on a desk, put together from the paths of its pages and measured, and its answers recomputed from its text;
never from the JSON of its answers."""

import functools
import json
import re
from fractions import Fraction
from math import floor as whole
from pathlib import Path

import numpy as np
import pymupdf
import pytest
from shapely import unary_union

import desk_kit
import exercise_text
import kit

# Scales of each level in mm and in inches, the usual one first.
SCALES = {False: {1: (20, 10), 2: (10, 20), 3: (10, 20), 4: (10, 20)}, True: {1: (24, 16), 2: (12, 24), 3: (12, 24), 4: (12, 24)}}
CHECKS = {1: 3, 2: 3, 3: 5, 4: 7}
DISTANCES = {1: 1, 2: 1, 3: 2, 4: 2}

# Pages that a trainee gets at most, at any level.
MOST_PAGES = 16

# How far a mark may lie from its place on the assembled mat, mm.
PLACE_MM = 0.1

# How near a stroke lies to its place on one page, mm.
DRAWN_MM = 0.02

# A crossed mark needs an arm on either side that is seen, mm, and two crosses do not touch.
LEAST_ARM_MM = 2.5

# Drawn lengths are whole multiples of 10 mm on the floor, bearings of 5 degrees.
STEP = {"mm": 10.0, "deg": 5.0}

INCH = Fraction(254, 10)
TEMPLATES = ["perimeter-lines", "target-line", "rear-corner-arcs", "side-and-end-panels"]

# Side of a square of the blank grid, mm.
SQUARE_MM = {False: 5.0, True: 6.35}

NUMBER = r"\d+(?:\.\d+)?(?: \d+/\d+)?|\d+/\d+"


def cases():
    """A level with the arguments of a run and the number of its sheets: random vehicles and built-in ones on all templates,
    on A4 in mm and on Letter in mm and in inches in turn."""
    for level in exercise_text.LEVELS:
        runs = [("random", t) for t in TEMPLATES]
        runs += [(v, TEMPLATES[(i + level) % 4]) for i, v in enumerate(kit.names("vehicles"))]
        share, more = divmod(exercise_text.COUNT, len(runs))
        for index, (vehicle, template) in enumerate(runs):
            count = share + (index < more)
            if count:
                paper, units = [("A4", "mm"), ("Letter", "inch"), ("Letter", "mm")][(index + level) % 3]
                name = f"{level}-{vehicle}-{template}-{paper}-{units}"
                yield pytest.param((level, vehicle, template, paper, units, count), id=name)


class Run:
    """What one run of the binary leaves: kits, and the text of exercises and answers."""

    def __init__(self, case, folder):
        self.level, self.vehicle, self.template, paper, units, self.count = case
        self.inches = units == "inch"
        kit.asked(
            "practice", "--kinds", "desk", "--level", self.level, "--vehicle", self.vehicle, "--template", self.template,
            "--paper", paper, "--units", units, "--count", self.count, "--seed", 10 * self.level + self.count, "--out", folder,
        )
        self.kits = desk_kit.read(Path(folder) / "exercises.pdf", self.inches)
        self.exercises = exercise_text.sheets(Path(folder) / "exercises.pdf", "desk")
        self.answers = exercise_text.sheets(Path(folder) / "answers.pdf", "desk")
        self.mats = [{name: np.mean(at, axis=0) for name, at in one.assembled().items()} for one in self.kits]

    def sheets(self):
        """Kit, mat, text of the exercise and of its answers, one after the other."""
        numbers = sorted(self.exercises)
        for number, one, mat in zip(numbers, self.kits, self.mats):
            yield one, mat, self.exercises[number], self.answers[number]

    def mm(self, text):
        """A printed length in mm, exactly."""
        return length(text) * (INCH if self.inches else 1)

    def rounded(self, value):
        """A length on the desk in the unit, as a ruler is read: to half a mm or to 1/16 in, half a step up."""
        steps = 16 if self.inches else 2
        return Fraction(whole(value * steps + Fraction(1, 2)), steps)


def length(text):
    """A printed number, exactly: "12.5", "3 1/16"."""
    return sum(Fraction(part) for part in text.split())


@pytest.fixture(scope="module", params=cases())
def run(request, tmp_path_factory):
    return Run(request.param, tmp_path_factory.mktemp("desk"))


def test_every_exercise_hands_out_a_grid_a_map_and_joined_sheets_that_name_every_mark(run):
    assert [one.number for one in run.kits] == sorted(run.exercises) == sorted(run.answers) == list(range(1, run.count + 1))
    for one in run.kits:
        assert one.scale in SCALES[run.inches][run.level]
        assert one.maps == 1 and len(one.grids) == 1 and len(one.tiles) >= 2 and one.outline
        assert one.pages <= MOST_PAGES, f"{one.pages} pages"
        assert len({tile.label for tile in one.tiles}) == len(one.tiles)
        for tile in one.tiles:
            assert len(tile.marks) == tile.circles, f"sheet {tile.label}: a mark without a name among {tile.names}"
        for name, places in one.assembled().items():
            assert np.ptp(places, axis=0).max() < PLACE_MM, f"{name} lies in two places on the mat"


def test_the_scale_is_the_usual_one_of_the_level_but_for_what_it_does_not_suit(run):
    usual = SCALES[run.inches][run.level][0]
    other = [one for one in run.kits if one.scale != usual]
    # A small car between panels takes one sheet at 1:20, and the smallest are too short to lay by hand at 1:24.
    small = run.template == "side-and-end-panels" or (run.inches and run.vehicle == "random")
    assert not other or (run.level == 1 and small), f"{len(other)} of {run.count}"


def test_no_page_of_words_in_inches_is_in_millimetres(run):
    if not run.inches:
        pytest.skip("a run in mm")
    for one, _, exercise, answer in run.sheets():
        texts = [exercise.text, answer.text, *(" ".join(t.content for t in page.texts) for page in [*one.grids, *one.outline])]
        for text in texts:
            assert not re.search(r"\d mm|, mm|millim", text), text


def test_marks_lie_on_the_assembled_mat_where_the_layout_has_them_by_the_scale(run):
    if run.vehicle == "random":
        pytest.skip("a random vehicle is not in the library; its checks are measured below")
    if run.inches:
        pytest.skip("values are drawn in half inches, dimensions rounded to 1/16 in; its checks are measured below")
    for one, mat in zip(run.kits, run.mats):
        plan = laid_out(run.vehicle, run.template, mat, one.scale)
        assert set(plan) == set(mat)
        names = sorted(plan)
        turn, shift = desk_kit.rigid([mat[name] for name in names], [plan[name] / one.scale for name in names])
        off = {name: np.hypot(*(turn @ mat[name] + shift - plan[name] / one.scale)) for name in names}
        assert max(off.values()) < PLACE_MM, off


def test_check_distances_measured_on_the_mat_are_those_of_the_answers(run):
    for one, mat, exercise, answer in run.sheets():
        rows = asked_checks(exercise, run.inches)
        sums = re.findall(rf"(\d+), (\S+) – (\S+): ([\d.]+) / (\d+), rounded ({NUMBER}) (?:mm|in)", answer.text)
        assert len(rows) == len(sums) == CHECKS[run.level]
        assert [row[:4] for row in rows] == [(n, a, b, Fraction(f)) for n, a, b, f, _, _ in sums]
        for _, a, b, floor, by, desk in sums:
            ruler = np.hypot(*(mat[a] - mat[b]))
            assert int(by) == one.scale
            step = float(INCH / 16) if run.inches else 1.0
            assert abs(ruler - float(run.mm(floor)) / one.scale) < step / 2 / one.scale + PLACE_MM
            assert length(desk) == run.rounded(Fraction(floor) / one.scale)
        assert has_equal_diagonals(rows, mat, Fraction(1, 16) if run.inches else 1), rows


def test_sheets_counted_and_marks_found_are_those_of_the_answers(run):
    for one, _, exercise, answer in run.sheets():
        assert int(re.search(r"(\d+) sheets: count the labels", answer.text)[1]) == len(one.tiles)
        found = re.search(r"Which sheet carries mark (\S+)\?", exercise.text)
        assert bool(found) == (run.level > 1)
        if found:
            key = re.search(rf"{found[1]} on sheet (\S+)", answer.text)[1]
            assert [tile.label for tile in one.tiles if found[1] in tile.names] == [key]


def test_distances_from_the_outline_laid_on_the_mat_are_those_of_the_answers(run):
    for one, mat, exercise, answer in run.sheets():
        asked = exercise.asking("Lay the half outline")
        pattern = rf"(\d), ([^,:]*?) to (\S+): [^:]*? (?:that is|rounded) ({NUMBER}) (?:mm|in) on the floor; ([\d.]+) / (\d+), rounded ({NUMBER}) (?:mm|in) on the desk"
        key = re.findall(pattern, answer.asking("Lay the half outline").text)
        assert 1 <= len(key) <= DISTANCES[run.level] and [int(row[0]) for row in key] == list(range(1, len(key) + 1))
        outline = desk_kit.outline(one.outline)
        forward, left, front = laid(exercise.text, mat, run)
        side = 1 if outline.left else -1
        assert ("left" if outline.left else "right") == re.search(r"Cut out the (\w+) half", exercise.text)[1]
        for _, words, name, floor, exact, by, desk in key:
            assert name in asked.text and int(by) == one.scale
            assert run.rounded(Fraction(exact) / one.scale) == length(desk)
            at = mat[name] - front
            x, y = at @ forward, at @ left * side
            end, mine = ("front" in words), ("left" in words) == outline.left
            assert mine, words
            if "side" in words:
                ruler = y - outline.width
            elif "tyre" in words or "tire" in words:
                wheel = outline.wheels[0 if end else 1]
                assert wheel.bounds[0] < x < wheel.bounds[2], f"{name} is not beside the wheel"
                ruler = y - max(abs(wheel.bounds[1]), abs(wheel.bounds[3]))
            else:
                assert "corner" in words
                ruler = np.hypot(x - (0 if end else -outline.length), y - outline.width)
            # The outline's place is printed as a ruler is read.
            slack = float(INCH) / 32 if run.inches else 0.25
            assert abs(ruler - float(run.mm(desk))) < 2 * slack + PLACE_MM, words
            assert abs(ruler * one.scale - float(run.mm(floor))) < one.scale * (slack + PLACE_MM) + 2.0, words


def laid(text, mat, run):
    """Forward and left on the mat, and where the front end of the outline comes to lie on the centreline, as the exercise says."""
    found = re.search(
        rf"line on the mat from (\S+) to (\S+): .* its front end (?:at (\S+)|({NUMBER}) (?:mm|in) (ahead of|behind) (\S+)), "
        rf"its rear end (?:at (\S+)|({NUMBER}) (?:mm|in) (ahead of|behind) (\S+))\.", text)
    first, last = found[1], found[2]
    assert (found[3] or found[6]) == first and (found[7] or found[10]) == last
    forward = (mat[first] - mat[last]) / np.hypot(*(mat[first] - mat[last]))

    def ahead(number, way):
        return float(run.mm(number)) * (1 if way == "ahead of" else -1) if number else 0.0

    front = mat[first] + forward * ahead(found[4], found[5])
    rear = mat[last] + forward * ahead(found[8], found[9])
    outline = (front - rear) @ forward
    kit_ = next(one for one, other, *_ in run.sheets() if other is mat)
    slack = float(INCH) / 16 if run.inches else 0.5
    assert abs(outline - desk_kit.outline(kit_.outline).length) < slack + PLACE_MM
    return forward, np.array([-forward[1], forward[0]]), front


def test_the_answers_about_faults_follow_from_their_questions(run):
    for one, _, exercise, answer in run.sheets():
        text, key = exercise.text, answer.text
        labels = {tile.label: set(tile.registration) for tile in one.tiles}
        unit = rf"({NUMBER}) (?:mm|in)"
        if run.level < 3:
            over, size, under = re.search(rf"Sheet (\w+) is taped {unit} too far from sheet (\w+)\.", text).groups()
            apart, way = length(size), ""
        else:
            over, size, side = re.search(rf"Sheet (\w+) was cut {unit} (outside|inside) its dashed line\.", text).groups()
            apart = length(size) * (1 if side == "outside" else -1)
            if run.level == 3:
                under = re.search(r"Its cut edge was laid on the line of sheet (\w+)\.", text)[1]
            else:
                beyond, under = re.search(rf"laid {unit} beyond the thin line, too far over sheet (\w+)\.", text).groups()
                apart -= length(beyond)
            assert apart
            way = ", too far apart" if apart > 0 else ", too near"
        assert len(labels[over] & labels[under]) >= 2, f"{over} and {under} are not joined"
        found = re.search(rf"{unit} × {one.scale} = {unit}(, too far apart|, too near)?", key)
        assert length(found[1]) == abs(apart) and length(found[2]) == abs(apart) * one.scale
        assert (found[3] or "") == way


def test_the_check_on_a_wrong_print_is_as_much_short_as_its_check_square(run):
    for one, _, exercise, answer in run.sheets():
        found = re.search(rf"(?:square|line) of ({NUMBER}) (?:mm|in) measures ({NUMBER}) (?:mm|in)\. What does check (\d+) measure", exercise.text)
        assert bool(found) == (run.level == 4)
        if found:
            true, wrong, number = found.groups()
            (floor,) = [row[3] for row in asked_checks(exercise, run.inches) if row[0] == number]
            assert floor == max(row[3] for row in asked_checks(exercise, run.inches))
            should = run.rounded(floor / one.scale * length(wrong) / length(true))
            key = re.search(rf"on a true mat; .*? / [\d.]+, rounded ({NUMBER}) (?:mm|in)", answer.text)[1]
            # Rounded decimals of a calculator may fall on the other side of a half step.
            assert abs(length(key) - should) <= (Fraction(1, 16) if run.inches else Fraction(1, 2))


def test_the_half_outlines_parts_are_the_vehicle_by_the_scale_once_they_are_joined(run):
    for one in run.kits:
        outline = desk_kit.outline(one.outline)
        whole_ = unary_union(outline.parts)
        x0, y0, x1, y1 = whole_.bounds
        assert (x1 - x0, y1 - y0) == pytest.approx((outline.length, outline.width), abs=DRAWN_MM)
        assert sum(edge.length for edge in outline.edges) == pytest.approx(2 * (outline.length + outline.width), abs=0.1)
        for edge in outline.edges:
            assert whole_.envelope.boundary.distance(edge.centroid) < DRAWN_MM
        ends = [tick.coords[0] for tick in outline.ticks]
        for tick in outline.ticks:
            assert sum(np.hypot(*np.subtract(tick.coords[0], end)) < DRAWN_MM for end in ends) == 2, "a tick without its other half"
        assert len(outline.wheels) == 2
        if run.vehicle != "random" and not run.inches:
            size = {key: mm / one.scale for key, mm in plan_of(run.vehicle, run.template)["vehicle"]["dimensions_mm"].items()}
            side = "left" if outline.left else "right"
            bases = [size.get("wheelbase", 0) or size[f"wheelbase_{side}"] for side in ("left", "right")]
            front, rear = (wheel.centroid for wheel in outline.wheels)
            assert outline.width == pytest.approx(size["overall_width"] / 2, abs=PLACE_MM)
            assert front.x - rear.x == pytest.approx(size.get("wheelbase", 0) or size[f"wheelbase_{side}"], abs=PLACE_MM)
            assert -front.x == pytest.approx(size["front_overhang"], abs=PLACE_MM)
            assert abs(front.y) == pytest.approx(size["front_track"] / 2, abs=PLACE_MM)
            assert abs(rear.y) == pytest.approx(size["rear_track"] / 2, abs=PLACE_MM)
            assert outline.length == pytest.approx(size["front_overhang"] + np.mean(bases) + size["rear_overhang"], abs=PLACE_MM)


def test_the_blank_grid_has_squares_of_its_size_and_room_for_the_layout_about_its_centreline(run):
    for one, mat in zip(run.kits, run.mats):
        (page,) = one.grids
        text = " ".join(t.content for t in page.texts)
        scale = int(re.search(r"Blank grid: exercise \d+, 1:(\d+)", text)[1])
        lines = [s for stroke in page.strokes if stroke.layer == "panels" for s in stroke.segments()]
        upright = sorted({round(a[0], 2) for a, b in lines if abs(a[0] - b[0]) < 0.01})
        level = sorted({round(a[1], 2) for a, b in lines if abs(a[1] - b[1]) < 0.01})
        side = SQUARE_MM[run.inches]
        for places in (upright, level):
            assert np.diff(places) == pytest.approx(side, abs=0.02)
        square = re.search(rf"one is ({NUMBER}) (?:mm|in) on the floor", text)[1]
        assert float(run.mm(square)) == pytest.approx(side * scale)
        chains = [s for stroke in page.strokes if stroke.layer == "vehicle" for s in stroke.segments()]
        (centre,) = {round(a[0], 2) for a, b in chains if abs(a[0] - b[0]) < 0.01}
        assert centre == pytest.approx((upright[0] + upright[-1]) / 2, abs=0.02)
        extent = max(np.hypot(*(a - b)) for a in mat.values() for b in mat.values()) * one.scale / scale
        assert np.hypot(upright[-1] - upright[0], level[-1] - level[0]) > extent
        assert "FRONT" in text and "Before you cut" in text and page.width - upright[-1] > 10 and upright[0] > 10 and level[0] > 15


def test_sheets_of_a_class_differ(run):
    texts = [re.sub(r"Sheet \d+|sheet \d+", "", sheet.text) for sheet in run.exercises.values()]
    assert len(set(texts)) == len(texts)


@pytest.mark.parametrize("vehicle", kit.names("vehicles"))
@pytest.mark.parametrize("template", TEMPLATES)
def test_no_trainee_gets_more_than_sixteen_pages(tmp_path, vehicle, template):
    for level in exercise_text.LEVELS:
        for paper, units in [("A4", "mm"), ("Letter", "inch"), ("Letter", "mm")]:
            out = tmp_path / f"{level}-{paper}-{units}"
            kit.asked("practice", "--kinds", "desk", "--level", level, "--vehicle", vehicle, "--template", template, "--paper", paper,
                      "--units", units, "--out", out)
            with pymupdf.open(out / "exercises.pdf") as one:
                assert one.page_count <= MOST_PAGES, f"level {level} on {paper}: {one.page_count} pages"


def test_answers_for_machines_are_numbers_with_units_and_bounds(tmp_path):
    for units, unit, bound in [("mm", "mm", 1.0), ("inch", "in", 0.0625)]:
        out = tmp_path / units
        kit.asked("practice", "--kinds", "desk", "--level", 4, "--units", units, "--paper", "Letter", "--out", out)
        found = json.dumps(json.loads((out / "answers.json").read_text(encoding="utf-8")))
        assert "as measured" not in found and "check 1 measured" in found and "distance 1 on the floor" in found
        assert f'"{unit}"' in found and str(bound) in found


def test_a_layout_that_suits_no_scale_is_refused_and_nothing_is_written(tmp_path):
    done = kit.run("practice", "--kinds", "desk", "--set", "side_gap=2500mm", "--set", "front_gap=4m", "--set", "rear_gap=4m",
                   "--set", "strip=10 mm", "--level", 4, "--out", tmp_path / "out")
    assert done.returncode == 3 and "1:10" in done.stderr and "1:20" in done.stderr, done.stderr
    assert not (tmp_path / "out").exists()


def test_crosses_of_near_marks_end_before_they_touch(tmp_path):
    # 250 mm on the floor are 12.5 mm at 1:20, and full crosses of 30 mm would run through each other.
    kit.asked("practice", "--kinds", "desk", "--level", 1, "--set", "cross_length=250mm", "--count", 4, "--out", tmp_path)
    for page in desk_kit.vectors.read(tmp_path / "exercises.pdf"):
        if not desk_kit.vectors.circles(page, "marks"):
            continue
        arms = [s for stroke in page.strokes if stroke.layer == "marks" for s in stroke.segments()]
        arms = [desk_kit.LineString(s) for s in arms if np.hypot(*np.subtract(*s)) > LEAST_ARM_MM]
        for centre, _ in desk_kit.vectors.circles(page, "marks"):
            own = [arm for arm in arms if arm.distance(centre) < DRAWN_MM]
            others = [arm for arm in arms if arm.distance(centre) >= DRAWN_MM]
            assert len(own) == 2 and all(arm.length >= 2 * LEAST_ARM_MM for arm in own)
            assert all(one.distance(other) > 1.0 for one in own for other in others)


def asked_checks(sheet, inches):
    """Rows of the table of checks: number, from, to, floor distance. A long pair of names takes two lines of its own, above and
    below the middle of its row."""
    number = r"\d+(?: \d+/\d+)?|\d+/\d+" if inches else r"\d+"
    rows, lines = [], sheet.asking("What should each check be").split
    for index, line in enumerate(lines):
        if found := re.match(rf"(\d) (\S+) – (\S+) ({number})$", line):
            rows.append((found[1], found[2], found[3], length(found[4])))
        elif found := re.match(rf"(\d) ({number})$", line):
            rows.append((found[1], lines[index - 1].removesuffix(" –"), lines[index + 1], length(found[2])))
    return rows


def has_equal_diagonals(rows, mat, step):
    """Two of the checks have one length and no mark at both of their ends in common, and neither runs along the vehicle or
    straight across it: seen from the middle of all marks they are each other's mirror image."""
    for index, (_, a, b, floor) in enumerate(rows):
        for _, c, d, other in rows[index + 1:]:
            if abs(floor - other) <= step and {a, b} != {c, d}:
                one, two = mat[a] - mat[b], mat[c] - mat[d]
                if abs(one[0] * two[1] - one[1] * two[0]) > 0.05 * np.hypot(*one) * np.hypot(*two):
                    return True
    return False


def plan_of(vehicle, template, values=()):
    settings = [word for value in values for word in ("--set", value)]
    return kit.plan("--vehicle", vehicle, "--template", template, *settings)


def places(plan):
    return {mark["id"]: np.array([mark["x_mm"], mark["y_mm"]]) for mark in plan["marks"]}


def laid_out(vehicle, template, mat, scale):
    """The layout whose drawn values fit a mat best: distances from mark to mark are solved for the values (Gauss and
    Newton, with the slopes at the values as they are set), rounded to the steps that values are drawn in, and laid out again
    by `plan`."""
    names, start, units, slopes, base, still = slopes_of(vehicle, template)
    wanted = distances({name: place * scale for name, place in mat.items()})
    values, now, marks = dict(start), base, None
    for _ in range(8):
        move = np.linalg.lstsq(slopes, wanted - now, rcond=None)[0]
        # What the exercise may draw: up to a fifth or 50 mm from the value that is set, or 10 degrees; and as much more as
        # a value may have that stands still here.
        spread = {name: max(0.2 * start[name], 50.0) + 50.0 * still if units[name] == "mm" else 10.0 for name in names}
        new = {name: min(max(values[name] + by, start[name] - spread[name]), start[name] + spread[name]) for name, by in zip(names, move)}
        new = {name: STEP[units[name]] * round(value / STEP[units[name]]) for name, value in new.items()}
        if marks is not None and new == values:
            break
        values = new
        marks = places(plan_of(vehicle, template, [f"{name}={value:g} {units[name]}" for name, value in values.items()]))
        now = distances(marks)
    return marks


@functools.cache
def slopes_of(vehicle, template):
    """The values of a template that move its marks, as they are set, their units, what distances from mark to mark gain
    when each value gains 1, and how many values stand still: what they do to distances the others do together, where all
    marks move along the vehicle."""
    plan = plan_of(vehicle, template)
    base = distances(places(plan))
    names, start, units, columns = [], {}, {}, []
    for value in plan["template"]["values"]:
        name, unit = value["name"], value["unit"]
        moved = plan_of(vehicle, template, [f"{name}={value['value'] + 1:g} {unit}"])
        slope = distances(places(moved)) - base
        if np.abs(slope).max() > 1e-3:
            names.append(name)
            start[name], units[name] = value["value"], unit
            columns.append(slope)
    kept = []
    for index in range(len(columns)):
        # Slopes are differences: a thousandth of the largest is nothing.
        if np.linalg.matrix_rank(np.array([columns[i] for i in [*kept, index]]), tol=1e-2) == len(kept) + 1:
            kept.append(index)
    still = len(columns) - len(kept)
    return [names[i] for i in kept], start, units, np.array([columns[i] for i in kept]).T, base, still


def distances(marks):
    names = sorted(marks)
    return np.array([np.hypot(*(marks[a] - marks[b])) for i, a in enumerate(names) for b in names[i + 1:]])
