"""plan.json and readings.csv, worked out again from the coordinates and from the vehicles' dimensions."""

import csv
import io
import json
import math
import re

import numpy as np
import pytest

import kit
from lay_model import WHEELS, Floor

# plan.json may round its numbers; a hundredth of a millimetre is below any tape.
NUMBER_MM = 0.005

# End lines 750 mm beyond the bumpers and rails 300 mm outside the tyres' outer faces: one usual arrangement for
# surround-view work (common practice, no source).
END_GAP_MM, SIDE_GAP_MM = 750, 300

# x of the front end line and of the rear one, and half of the distance between the rails, worked out by hand from
# vehicle-specs/*.toml: front overhang + gap; −(mean wheelbase + rear overhang + gap); (wider track + tyre) / 2 + gap.
# Tyre section widths by UN R30, 6.1.1.1: S1 + 0.4 (A − x S1), nearest mm, x = 0.7 from an aspect ratio of 50 up
# (from memory); S1 alone where no rim is given.
CORNERS = {
    "city-car": (650 + 750, -(2332.5 + 565 + 750), (1425 + 175) / 2 + 300),
    "compact-hatchback": (870 + 750, -(2620 + 790 + 750), (1540 + 214) / 2 + 300),
    # 255/70R17 on 8 in: 255 + 0.4 (203.2 − 178.5) = 264.88
    "crew-cab-pickup": (905 + 750, -(3255 + 1250 + 750), (1640 + 265) / 2 + 300),
    "delivery-van": (1010 + 750, -(3450 + 1090 + 750), (1735 + 236) / 2 + 300),
    # 225/45R17 on 7.5 in: 225 + 0.4 (190.5 − 191.25) = 224.7; below an aspect ratio of 50 the rim is 0.85 S1.
    "estate": (925 + 750, -(2785 + 1060 + 750), (1575 + 225) / 2 + 300),
}


def perimeter(vehicle, **values):
    """The plan of the perimeter template with values of our own."""
    set_values = [word for name, mm in values.items() for word in ("--set", f"{name}={mm}mm")]
    return kit.plan("--vehicle", vehicle, "--template", "perimeter-lines", *set_values)


def places(plan):
    return {mark["id"]: (mark["x_mm"], mark["y_mm"]) for mark in plan["marks"]}


def test_hand_arithmetic_covers_every_built_in_vehicle():
    assert sorted(CORNERS) == sorted(kit.names("vehicles"))


@pytest.mark.parametrize("vehicle", CORNERS)
def test_corner_marks_lie_where_hand_arithmetic_puts_them(vehicle):
    plan = perimeter(vehicle, front_gap=END_GAP_MM, rear_gap=END_GAP_MM, side_gap=SIDE_GAP_MM)
    front, rear, half = CORNERS[vehicle]
    marks = places(plan)
    for name, corner in {"1L": (front, half), "1R": (front, -half), "4L": (rear, half), "4R": (rear, -half)}.items():
        assert marks[name] == pytest.approx(corner, abs=NUMBER_MM)


def test_overridden_gaps_move_the_marks_by_as_much():
    before = places(perimeter("estate", front_gap=750, rear_gap=750, side_gap=300))
    after = places(perimeter("estate", front_gap=900, rear_gap=640, side_gap=420))
    for name, shift in {"1L": (150, 120), "1R": (150, -120), "4L": (110, 120), "4R": (110, -120)}.items():
        moved = tuple(b - a for a, b in zip(before[name], after[name]))
        assert moved == pytest.approx(shift, abs=NUMBER_MM)


def test_different_left_and_right_wheelbases_give_different_rear_wheel_marks():
    marks = places(perimeter("city-car"))
    # wheelbase_left 2345 mm, wheelbase_right 2320 mm; origin half-way between the front wheel centres.
    assert marks["3L"][0] == pytest.approx(-2345, abs=NUMBER_MM)
    assert marks["3R"][0] == pytest.approx(-2320, abs=NUMBER_MM)
    assert marks["2L"][0] == marks["2R"][0] == pytest.approx(0, abs=NUMBER_MM)


def test_the_template_echo_names_the_values_that_were_used():
    plan = perimeter("estate", front_gap=900)
    used = {value["name"]: value for value in plan["template"]["values"]}
    assert used["front_gap"]["value"] == 900 and not used["front_gap"]["demonstration"]
    assert used["rear_gap"]["demonstration"]


def test_kit_and_plan_tell_the_same_layout(demo):
    # What it takes is more for a kit, which knows its sheets.
    alone = json.loads(kit.asked("plan", "--json"))
    assert set(alone) == set(demo.plan)
    assert {**alone, "takes": None} == {**demo.plan, "takes": None}


def test_distances_follow_from_the_coordinates(any_kit):
    floor = Floor(any_kit.plan, any_kit.sheets)
    for check in any_kit.plan["checks"]:
        start = floor.place(check["from"])
        if check["kind"] == "inline":
            first, last = (floor.place(name) for name in check["to"].split(".."))
            along, beside = last - first, start - first
            # Left of the string, as one looks along it.
            distance = (along[0] * beside[1] - along[1] * beside[0]) / np.hypot(*along)
        else:
            distance = math.dist(start, floor.place(check["to"]))
        assert check["distance_mm"] == pytest.approx(distance, abs=NUMBER_MM), check["id"]
        assert check["limit_mm"] > 0


def test_two_tape_distances_run_from_the_ends_of_the_centreline(any_kit):
    centre = [at for at in any_kit.marks.values() if abs(at[1]) < NUMBER_MM]
    front, rear = max(centre), min(centre)
    assert [any_kit.marks[name] for name in any_kit.plan["tape_base"]] == [front, rear]
    for mark in any_kit.plan["marks"]:
        at = any_kit.marks[mark["id"]]
        expected = (math.dist(front, at), math.dist(rear, at))
        assert mark["two_tape_mm"] == pytest.approx(expected, abs=NUMBER_MM), mark["id"]


def test_names_are_unique_and_lead_to_marks(any_kit):
    plan = any_kit.plan
    assert len(any_kit.marks) == len(plan["marks"])
    assert len({check["id"] for check in plan["checks"]}) == len(plan["checks"])
    for line in plan["lines"]:
        assert line["from"] in any_kit.marks and line["to"] in any_kit.marks and line["from"] != line["to"]
    for check in plan["checks"]:
        ends = [check["from"], *check["to"].split("..")]
        assert len(ends) == (3 if check["kind"] == "inline" else 2) and len(set(ends)) == len(ends)
        assert set(ends) <= {*any_kit.marks, *WHEELS}
        assert (check["kind"] == "vehicle") == (len(ends) == 2 and bool(set(ends) & set(WHEELS)))


def test_left_and_right_marks_mirror_each_other(any_kit):
    # Only a station at a rear axle whose wheelbases differ may be askew.
    askew = "city" in any_kit.plan["vehicle"]["name"]
    for name, (x, y) in any_kit.marks.items():
        if name.endswith("L"):
            other_x, other_y = any_kit.marks[name[:-1] + "R"]
            assert other_y == pytest.approx(-y, abs=NUMBER_MM)
            assert askew or other_x == pytest.approx(x, abs=NUMBER_MM)


@pytest.mark.parametrize("vehicle", CORNERS)
def test_diagonals_of_the_rectangle_are_equal(vehicle):
    plan = perimeter(vehicle)
    marks = places(plan)
    along, across = marks["1L"][0] - marks["4L"][0], marks["1L"][1] - marks["1R"][1]
    # A rectangle a × b has both diagonals √(a² + b²) (elementary geometry).
    expected = math.sqrt(along**2 + across**2)
    for one, other in (("1L", "4R"), ("1R", "4L")):
        assert math.dist(marks[one], marks[other]) == pytest.approx(expected, abs=NUMBER_MM)


def test_the_readings_form_has_one_row_for_each_check(any_kit):
    rows = list(csv.DictReader(io.StringIO(any_kit.read("readings.csv"), newline="")))
    checks = any_kit.plan["checks"]
    assert [row["check"] for row in rows] == [check["id"] for check in checks]
    for row, check in zip(rows, checks):
        assert (row["from"], row["to"]) == (check["from"], check["to"])
        # Written to a tenth of a millimetre; plan.json's own rounding can tip a tie.
        assert float(row["should_be_mm"]) == pytest.approx(check["distance_mm"], abs=0.0501)
        assert float(row["limit_mm"]) == pytest.approx(check["limit_mm"], abs=0.0501)
        assert row["reading_mm"] == "", "what is to be filled in is not blank"


def test_numbers_are_finite_and_plainly_written(any_kit):
    for name in ("plan.json", "sheets.json"):
        text = any_kit.read(name)
        json.loads(text, parse_constant=lambda constant: pytest.fail(f"{name} holds {constant}"))
        assert not re.search(r"-0(\.0+)?[,\s\]}]", text), f"{name} holds a negative zero"
