"""Setting-out steps: followed with a tape of our own they give back the marks, and the page says the same."""

import math
import re
import subprocess

import pytest

import kit

# plan.json rounds to a tenth of a micrometre.
NUMBER_MM = 0.005
# The page shows whole millimetres.
SHOWN_MM = 0.5 + NUMBER_MM

WAYS = ("perpendicular", "two_tape")


def plans():
    for vehicle in kit.names("vehicles"):
        for template in kit.names("templates"):
            yield vehicle, template


def resolved(vehicle, template, *more):
    return kit.plan("--vehicle", vehicle, "--template", template, *more)


def places(plan):
    spots = {mark["id"]: (mark["x_mm"], mark["y_mm"]) for mark in plan["marks"]}
    return spots | {point["id"]: (point["x_mm"], point["y_mm"]) for point in plan["setting_out"]["points"]}


@pytest.mark.parametrize(("vehicle", "template"), list(plans()))
def test_every_number_is_the_distance_of_its_two_points(vehicle, template):
    plan = resolved(vehicle, template)
    spots = places(plan)
    for way in WAYS:
        for step in plan["setting_out"][way]:
            for pull in step["tape"] + step["check"]:
                expected = math.dist(spots[pull["from"]], spots[pull["to"]])
                assert pull["distance_mm"] == pytest.approx(expected, abs=NUMBER_MM)


@pytest.mark.parametrize(("vehicle", "template"), list(plans()))
def test_perpendicular_numbers_give_back_the_marks_by_station_and_offset(vehicle, template):
    plan = resolved(vehicle, template)
    marks = {mark["id"]: (mark["x_mm"], mark["y_mm"]) for mark in plan["marks"]}
    found = {"zero": (0.0, 0.0)}
    for step in plan["setting_out"]["perpendicular"]:
        for pull in step["tape"]:
            x, y = found[pull["from"]]
            if pull["from"] == "zero" and "along the line" in step["text"]:
                found[pull["to"]] = (x + pull["distance_mm"] * (1 if "forward" in step["text"] else -1), 0.0)
            elif "string" in step["text"] and "Stretch" in step["text"]:
                found[pull["to"]] = (x - pull["distance_mm"], y)
            else:
                side = math.copysign(1, places(plan)[pull["to"]][1])
                found[pull["to"]] = (x, side * pull["distance_mm"])
    for name, place in marks.items():
        if name not in found:
            assert place == pytest.approx((0.0, 0.0), abs=NUMBER_MM)
        else:
            assert found[name] == pytest.approx(place, abs=3 * NUMBER_MM)


@pytest.mark.parametrize(("vehicle", "template"), list(plans()))
def test_two_distances_meet_at_the_mark_on_the_side_that_is_named(vehicle, template):
    plan = resolved(vehicle, template)
    spots = places(plan)
    swung = [step for step in plan["setting_out"]["two_tape"] if step["text"].startswith("Swing")]
    for step in swung:
        for name in step["marks"]:
            (a, from_a), (b, from_b) = [
                (spots[pull["from"]], pull["distance_mm"]) for pull in step["tape"] if pull["to"] == name
            ]
            # Both base marks lie on the centreline, so the circles meet in x by the difference of squares.
            x = (from_a**2 - from_b**2 + b[0] ** 2 - a[0] ** 2) / (2 * (b[0] - a[0]))
            y = math.sqrt(from_a**2 - (x - a[0]) ** 2)
            side = "left" if f"{name} left of the line" in step["text"] else "right"
            assert f"{name} {side} of the line" in step["text"]
            assert (x, y if side == "left" else -y) == pytest.approx(spots[name], abs=0.02)


@pytest.mark.parametrize("unit", ["mm", "inch"])
def test_right_angles_satisfy_pythagoras(unit):
    plan = resolved("delivery-van", "perimeter-lines", "--units", unit)
    triangles = []
    for step in plan["setting_out"]["perpendicular"]:
        text = re.sub(r" \([^)]*in\)", "", step["text"])
        if found := re.search(r"3-4-5: (\d+) \w+ on the line, (\d+) square to it, (\d+) between", text):
            triangles.append([int(number) for number in found.groups()])
        if found := re.search(r"arcs of (\d+) from (\d+) either side of [^:]+: they cross (\d+) off", text):
            radius, along, across = (int(number) for number in found.groups())
            triangles.append([along, across, radius])
    assert len(triangles) >= 4
    for along, across, diagonal in triangles:
        # Shown in whole mm, each rounded by half a millimetre.
        assert math.hypot(along, across) == pytest.approx(diagonal, abs=1.3)
        assert sorted((along, across))[0] * 5 == pytest.approx(diagonal * 3, abs=4.1)


def test_the_angle_of_crossing_is_that_of_the_triangle_and_flat_marks_have_no_arcs():
    plan = resolved("city-car", "rear-corner-arcs")
    spots = places(plan)
    a, b = (spots[name] for name in plan["tape_base"])
    flat = []
    for error in plan["setting_out"]["errors"]:
        if error["crossing_deg"] is None:
            continue
        at = spots[error["mark"]]
        to_a, to_b, base = math.dist(at, a), math.dist(at, b), math.dist(a, b)
        angle = math.degrees(math.acos((to_a**2 + to_b**2 - base**2) / (2 * to_a * to_b)))
        assert error["crossing_deg"] == pytest.approx(angle, abs=1e-3)
        assert error["too_flat"] == (min(angle, 180 - angle) < 30)
        flat += [error["mark"]] if error["too_flat"] else []
    assert flat
    swung = {pull["to"] for step in plan["setting_out"]["two_tape"] if "Swing" in step["text"] for pull in step["tape"]}
    assert not swung & set(flat)


def test_the_pages_name_every_mark_and_show_every_number(demo):
    steps = demo.plan["setting_out"]
    for page, way in enumerate(WAYS, start=1):
        done = subprocess.run(
            ["pdftotext", "-layout", "-f", str(page), "-l", str(page), str(demo.path("steps.pdf")), "-"],
            capture_output=True, text=True, encoding="utf-8", check=True,
        )
        words = set(re.findall(r"[\w:]+", done.stdout))
        assert {mark["id"] for mark in demo.plan["marks"]} <= words
        numbers = [int(word) for word in words if word.isdigit()]
        for pull in (pull for step in steps[way] for pull in step["tape"] + step["check"]):
            assert any(abs(number - pull["distance_mm"]) <= SHOWN_MM for number in numbers), pull
        assert {str(step["step"]) for step in steps[way]} <= words
