"""The layout on a desk, measured back from the paths of its pages and from its text; never from the JSON of its answers."""

import itertools
import json
import re
import subprocess

import numpy as np
import pytest

import kit
import vectors

SCALES = {1: 20, 2: 10, 3: 10, 4: 5}

# How near a drawn mark lies to its place, mm.
DRAWN_MM = 0.02

# Front up, left, down, right.
TURNS = [np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]]) for a in np.arange(4) * np.pi / 2]


@pytest.fixture(scope="module", params=[
    (vehicle, level) for vehicle in ["city-car", "delivery-van"] for level in SCALES
], ids=lambda case: f"{case[0]}-{case[1]}")
def desk(request, tmp_path_factory):
    vehicle, level = request.param
    folder = tmp_path_factory.mktemp("desk")
    layout = ["--vehicle", vehicle, "--template", "perimeter-lines"]
    done = kit.run("practice", "--kinds", "desk", "--level", level, *layout, "--out", folder)
    assert done.returncode == 0, done.stderr
    plan = json.loads(kit.asked("plan", *layout, "--json"))
    return plan, SCALES[level], folder


def text_of(path):
    return subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout


def fitted(centres, marks, written):
    """The names of the marks that drawn centres are, by one shift and one of four turns for all of them; each name has to
    stand on the page, for a part of a layout may look like another part."""
    for turn, (name, place) in itertools.product(TURNS, marks.items()):
        shift = np.array(centres[0]) - turn @ place
        found = {}
        for centre in centres:
            near = [n for n, p in marks.items() if np.hypot(*(turn @ p + shift - centre)) < DRAWN_MM]
            if len(near) != 1 or near[0] not in written:
                break
            found[near[0]] = centre
        else:
            return found
    return None


def test_marks_lie_on_the_sheets_as_far_apart_as_on_the_floor_by_the_scale(desk):
    plan, scale, folder = desk
    marks = {mark["id"]: np.array([mark["x_mm"], mark["y_mm"]]) / scale for mark in plan["marks"]}
    seen = set()
    for page in vectors.read(folder / "exercises.pdf"):
        centres = {(round(c.x, 3), round(c.y, 3)) for c, _ in vectors.circles(page, "marks")}
        if not centres:
            continue
        names = fitted(sorted(centres), marks, {text.content for text in page.texts})
        assert names, f"marks at {sorted(centres)} are none of the layout's at 1:{scale}"
        seen |= set(names)
    assert seen == set(marks)


def test_the_vehicles_outline_is_its_own_by_the_scale(desk):
    plan, scale, folder = desk
    size = plan["vehicle"]["dimensions_mm"]
    wheelbase = size.get("wheelbase") or (size["wheelbase_left"] + size["wheelbase_right"]) / 2
    length = (size["front_overhang"] + wheelbase + size["rear_overhang"]) / scale
    width = size["overall_width"] / scale
    pages = [p for p in vectors.read(folder / "exercises.pdf") if any("Vehicle outline" in t.content for t in p.texts)]
    solid = [s for p in pages for s in p.strokes if s.layer == "registration" and not s.dashed]
    drawn = sum(np.hypot(b[0] - a[0], b[1] - a[1]) for s in solid for a, b in s.segments())
    assert drawn == pytest.approx(2 * (length + width), abs=DRAWN_MM * len(solid))
    assert all(f"1:{scale}" in " ".join(t.content for t in p.texts) for p in pages)


def test_checks_and_counts_are_those_of_the_plan_and_of_the_pages(desk):
    plan, scale, folder = desk
    sheet, key = text_of(folder / "exercises.pdf"), text_of(folder / "answers.pdf")
    marks = {mark["id"]: (mark["x_mm"], mark["y_mm"]) for mark in plan["marks"]}
    sums = re.findall(r"(\w+) – (\w+): (\d+) / (\d+) = ([\d.]+) mm", key)
    assert len(sums) >= 3
    for one, other, floor, by, small in sums:
        distance = np.hypot(*np.subtract(marks[one], marks[other]))
        assert abs(distance - float(floor)) <= 0.5 and int(by) == scale
        assert abs(distance / scale - float(small)) <= 0.25 + 1e-9
    outlines = sheet.count("Vehicle outline")
    pages = len(vectors.read(folder / "exercises.pdf"))
    exercise = int(re.search(r"page 1 of (\d+)\s*$", sheet, re.M)[1]) if re.search(r"page 1 of (\d+)\s*$", sheet, re.M) else 1
    counted = int(re.search(r"(\d+) sheets: count the labels", key)[1])
    assert counted == pages - outlines - exercise
