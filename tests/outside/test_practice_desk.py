"""The layout on a desk, put together from the paths of its pages and measured, and its answers recomputed from its text;
never from the JSON of its answers."""

import functools
import re
from pathlib import Path

import numpy as np
import pytest
from shapely import unary_union

import desk_kit
import exercise_text
import kit

SCALES = {1: 20, 2: 10, 3: 10, 4: 5}
CHECKS = {1: 3, 2: 3, 3: 5, 4: 7}

# How far a mark may lie from its place on the assembled mat, mm.
PLACE_MM = 0.1

# How near a stroke lies to its place on one page, mm.
DRAWN_MM = 0.02

# A crossed mark needs an arm on either side that is seen, mm, and two crosses do not touch.
LEAST_ARM_MM = 2.5

# Drawn lengths are whole multiples of 10 mm on the floor, bearings of 5 degrees.
STEP = {"mm": 10.0, "deg": 5.0}


def cases():
    """A level with the arguments of a run and the number of its sheets: random vehicles and built-in ones on all templates,
    on A4 and Letter in turn."""
    templates = ["perimeter-lines", "target-line", "rear-corner-arcs", "side-and-end-panels"]
    for level in exercise_text.LEVELS:
        # A small car between panels at 1:20 takes one sheet, and is refused.
        runs = [("random", t) for t in templates if level > 1 or t != "side-and-end-panels"]
        runs += [(v, templates[(i + level) % 4]) for i, v in enumerate(kit.names("vehicles"))]
        runs = [run for run in runs if run != ("city-car", "side-and-end-panels") or level > 1]
        share, more = divmod(exercise_text.COUNT, len(runs))
        for index, (vehicle, template) in enumerate(runs):
            count = share + (index < more)
            if count:
                paper = ["A4", "Letter"][(index + level) % 2]
                yield pytest.param((level, vehicle, template, paper, count), id=f"{level}-{vehicle}-{template}-{paper}")


class Run:
    """What one run of the binary leaves: kits, and the text of exercises and answers."""

    def __init__(self, case, folder):
        self.level, self.vehicle, self.template, paper, self.count = case
        self.scale = SCALES[self.level]
        kit.asked(
            "practice", "--kinds", "desk", "--level", self.level, "--vehicle", self.vehicle, "--template", self.template,
            "--paper", paper, "--count", self.count, "--seed", 10 * self.level + self.count, "--out", folder,
        )
        self.kits = desk_kit.read(Path(folder) / "exercises.pdf")
        self.exercises = exercise_text.sheets(Path(folder) / "exercises.pdf", "desk")
        self.answers = exercise_text.sheets(Path(folder) / "answers.pdf", "desk")
        self.mats = [{name: np.mean(at, axis=0) for name, at in one.assembled().items()} for one in self.kits]


@pytest.fixture(scope="module", params=cases())
def run(request, tmp_path_factory):
    return Run(request.param, tmp_path_factory.mktemp("desk"))


def test_every_exercise_hands_out_a_map_and_joined_sheets_that_name_every_mark(run):
    assert [one.number for one in run.kits] == sorted(run.exercises) == sorted(run.answers) == list(range(1, run.count + 1))
    for one in run.kits:
        assert one.scale == run.scale and one.maps == 1 and len(one.tiles) >= 2 and one.outline
        assert len({tile.label for tile in one.tiles}) == len(one.tiles)
        for tile in one.tiles:
            assert len(tile.marks) == tile.circles, f"sheet {tile.label}: a mark without a name among {tile.names}"
        for name, places in one.assembled().items():
            assert np.ptp(places, axis=0).max() < PLACE_MM, f"{name} lies in two places on the mat"


def test_marks_lie_on_the_assembled_mat_where_the_layout_has_them_by_the_scale(run):
    if run.vehicle == "random":
        pytest.skip("a random vehicle is not in the library; its checks are measured below")
    for mat in run.mats:
        plan = laid_out(run.vehicle, run.template, mat, run.scale)
        assert set(plan) == set(mat)
        names = sorted(plan)
        turn, shift = desk_kit.rigid([mat[name] for name in names], [plan[name] / run.scale for name in names])
        off = {name: np.hypot(*(turn @ mat[name] + shift - plan[name] / run.scale)) for name in names}
        assert max(off.values()) < PLACE_MM, off


def test_check_distances_measured_on_the_mat_are_those_of_the_answers(run):
    for number, mat in zip(sorted(run.exercises), run.mats):
        exercise, answer = run.exercises[number], run.answers[number]
        rows = asked_checks(exercise)
        sums = re.findall(r"(\S+) – (\S+): (\d+) / (\d+) = ([\d.]+) mm", answer.text)
        assert len(rows) == len(sums) == CHECKS[run.level]
        assert [(one, other, floor) for _, one, other, floor in rows] == [(a, b, int(f)) for a, b, f, _, _ in sums]
        for one, other, floor, by, desk in sums:
            ruler = np.hypot(*(mat[one] - mat[other]))
            assert int(by) == run.scale
            assert abs(ruler - int(floor) / run.scale) < 0.5 / run.scale + PLACE_MM
            assert float(desk) == int(2 * int(floor) / run.scale + 0.5) / 2
        assert has_equal_diagonals(rows, mat), rows


def test_sheets_counted_and_marks_found_are_those_of_the_answers(run):
    for one, number in zip(run.kits, sorted(run.exercises)):
        exercise, answer = run.exercises[number].text, run.answers[number].text
        assert int(re.search(r"(\d+) sheets: count the labels", answer)[1]) == len(one.tiles)
        found = re.search(r"Which sheet carries mark (\S+)\?", exercise)
        assert bool(found) == (run.level > 1)
        if found:
            told = re.search(rf"{found[1]} on sheet (\S+)", answer)[1]
            assert [tile.label for tile in one.tiles if found[1] in tile.names] == [told]


def test_the_answer_about_the_fault_follows_from_its_question(run):
    for number, one in zip(sorted(run.exercises), run.kits):
        exercise, answer = run.exercises[number].text, run.answers[number].text
        labels = {tile.label: set(tile.registration) for tile in one.tiles}
        if run.level < 3:
            over, size, under = re.search(r"Sheet (\w+) is taped ([\d.]+) mm too far from sheet (\w+)\.", exercise).groups()
            way = ""
        else:
            found = re.search(r"Sheet (\w+) was cut ([\d.]+) mm (outside|inside) its dashed line, .* line of sheet (\w+)\.", exercise)
            over, size, side, under = found.groups()
            way = {"outside": " too far apart", "inside": " too near"}[side]
        assert len(labels[over] & labels[under]) >= 2, f"{over} and {under} are not joined"
        off = float(size) * run.scale
        assert f"{float(size):g} mm × {run.scale} = {off:g} mm{way}" in answer


def test_the_outlines_parts_are_the_vehicle_by_the_scale_once_they_are_joined(run):
    for one in run.kits:
        outline = desk_kit.outline(one.outline)
        whole = unary_union(outline.parts)
        x0, y0, x1, y1 = whole.bounds
        length, width = max(x1 - x0, y1 - y0), min(x1 - x0, y1 - y0)
        assert sum(edge.length for edge in outline.edges) == pytest.approx(2 * (length + width), abs=0.1)
        for edge in outline.edges:
            assert whole.envelope.boundary.distance(edge.centroid) < DRAWN_MM
        for part in outline.parts:
            assert any(part.buffer(0.01).intersection(edge).length > 1 for edge in outline.edges), "a part without an edge"
        ends = [tick.coords[0] for tick in outline.ticks]
        for tick in outline.ticks:
            assert sum(np.hypot(*np.subtract(tick.coords[0], end)) < DRAWN_MM for end in ends) == 2, "a tick without its other half"
        assert len(outline.wheels) == 4
        if run.vehicle != "random":
            size = {key: mm / run.scale for key, mm in plan_of(run.vehicle, run.template)["vehicle"]["dimensions_mm"].items()}
            bases = sorted([size.get("wheelbase", 0) or size["wheelbase_left"], size.get("wheelbase", 0) or size["wheelbase_right"]])
            assert width == pytest.approx(size["overall_width"], abs=PLACE_MM)
            along = 0 if x1 - x0 > y1 - y0 else 1
            centres = sorted((wheel.centroid.coords[0] for wheel in outline.wheels), key=lambda c: c[1 - along])
            found = sorted(abs(a[along] - b[along]) for a, b in (centres[:2], centres[2:]))
            assert found == pytest.approx(bases, abs=PLACE_MM)
            assert length == pytest.approx(size["front_overhang"] + np.mean(bases) + size["rear_overhang"], abs=PLACE_MM)


def test_sheets_of_a_class_differ(run):
    texts = [re.sub(r"Sheet \d+|sheet \d+", "", sheet.text) for sheet in run.exercises.values()]
    assert len(set(texts)) == len(texts)


@pytest.mark.parametrize(("level", "values", "said"), [
    (1, {"strip": "10 mm"}, "a tape strip is 0.5 mm wide"),
    (1, {"cross_length": "100 mm"}, "so near that their crosses run together"),
])
def test_a_layout_that_does_not_suit_the_scale_is_refused_and_nothing_is_written(tmp_path, level, values, said):
    settings = [word for name, value in values.items() for word in ("--set", f"{name}={value}")]
    done = kit.run("practice", "--kinds", "desk", "--level", level, *settings, "--out", tmp_path / "out")
    assert done.returncode == 3 and said in done.stderr and "1:" in done.stderr
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


def asked_checks(sheet):
    """Rows of the table of checks: id, from, to, floor distance. A long pair of names takes two lines of its own, above and
    below the middle of its row."""
    rows, lines = [], sheet.split
    for index, line in enumerate(lines):
        if found := re.match(r"([DSET]\d+) (\S+) – (\S+) (\d+)$", line):
            rows.append((found[1], found[2], found[3], int(found[4])))
        elif found := re.match(r"([DSET]\d+) (\d+)$", line):
            rows.append((found[1], lines[index - 1].removesuffix(" –"), lines[index + 1], int(found[2])))
    return rows


def has_equal_diagonals(rows, mat):
    """Two of the checks have one length and no mark at both of their ends in common, and neither runs along the vehicle or
    straight across it: seen from the middle of all marks they are each other's mirror image."""
    for index, (_, a, b, floor) in enumerate(rows):
        for _, c, d, other in rows[index + 1:]:
            if abs(floor - other) <= 1 and {a, b} != {c, d}:
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
