"""Setting-out steps: followed with a tape of our own they give back the marks, and the page says the same."""

import math
import re
import subprocess

import pytest
from shapely import LineString

import kit
from standing import places, standing

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


@pytest.mark.parametrize(("vehicle", "template"), list(plans()))
def test_every_number_is_the_distance_of_its_two_points(vehicle, template):
    plan = resolved(vehicle, template)
    spots = places(plan)
    for way in WAYS:
        for step in plan["setting_out"][way]:
            for pull in step["tape"] + step["check"]:
                expected = math.dist(spots[pull["from"]], spots[pull["to"]])
                assert pull["distance_mm"] == pytest.approx(expected, abs=NUMBER_MM)


# What nothing but the vehicle gives.
GIVEN = ("front", "rear", "WFL", "WFR", "WRL", "WRR")


def followed(plan):
    """The perpendicular way, followed step by step as its text says it; every place that comes of it."""
    spots = places(plan)
    found = {name: spots[name] for name in GIVEN if name in spots}
    for step in plan["setting_out"]["perpendicular"]:
        text = step["text"]
        if across := re.search(r"Stretch a string from (\S+) to (\S+)\. Where it crosses the line is ([^.]+)\.", text):
            left, right, foot = across.groups()
            assert found[left][0] == pytest.approx(found[right][0], abs=2 * NUMBER_MM)
            found[foot] = (found[left][0], 0.0)
        for pull in step["tape"]:
            (x, y), length = found[pull["from"]], pull["distance_mm"]
            side = math.copysign(1, spots[pull["to"]][1])
            if text.startswith("Tape from front forward"):
                found[pull["to"]] = (x + (length if pull["from"] == "front" else -length), 0.0)
            elif text.startswith("Lay the tape"):
                found[pull["to"]] = (x + length * (1 if "forward along each string" in text else -1), y)
            elif "towards the vehicle" in text:
                found[pull["to"]] = (x, y - side * length)
            else:
                assert re.match("Plumb the centres|Right angle at|From the string at|Stretch a string", text), text
                found[pull["to"]] = (x, y + side * length)
    return found


@pytest.mark.parametrize(("vehicle", "template"), list(plans()))
def test_the_perpendicular_way_followed_as_it_is_said_gives_back_the_marks(vehicle, template):
    plan = resolved(vehicle, template)
    found = followed(plan)
    for mark in plan["marks"]:
        assert found[mark["id"]] == pytest.approx((mark["x_mm"], mark["y_mm"]), abs=4 * NUMBER_MM), mark["id"]


@pytest.mark.parametrize("unit", ["mm", "inch"])
@pytest.mark.parametrize(("vehicle", "template"), list(plans()))
def test_nothing_is_taped_below_a_vehicle_that_stands_there_or_through_a_wheel(vehicle, template, unit):
    plan = resolved(vehicle, template, "--units", unit)
    assert plan["setting_out"]["vehicle_stands"]
    spots, (body, wheels) = places(plan), standing(plan)
    inner = body.buffer(-1, join_style="mitre")
    below = []
    for step in plan["setting_out"]["perpendicular"]:
        taped = [(spots[pull["from"]], spots[pull["to"]]) for pull in step["tape"] + step["check"]]
        for a, b, c in step["triangles_mm"]:
            taped += [(a, b), (b, c), (c, a)]
        carried = step["text"].startswith("Plumb the centres")
        for ends in taped:
            line = LineString(ends)
            # A wheel centre hangs at the tyre's outer face, which may stand some mm below the body: carried outward from there.
            assert carried and line.intersection(inner).length < 100 or not line.intersects(inner), (step["text"], ends)
            assert not any(line.intersects(wheel.buffer(-1)) for wheel in wheels), (step["text"], ends)
        for names in step["strings"]:
            line = LineString([spots[name] for name in names])
            assert not any(line.intersects(wheel) for wheel in wheels), (step["text"], names)
            below += [step["text"]] if line.intersects(inner) else []
    # One string alone, pushed through from end to end; nothing is read on it below the body.
    assert len(below) == 1 and below[0].startswith("Push a string through below the vehicle with a rod")
    texts = " ".join(step["text"] for step in plan["setting_out"]["perpendicular"])
    # All right angles that are said are among the triangles that were looked at.
    assert texts.count("3-4-5") == sum("3-4-5" in step["text"] and bool(step["triangles_mm"])
                                       for step in plan["setting_out"]["perpendicular"])


def test_what_lies_below_a_vehicle_is_laid_on_the_empty_floor_and_the_text_says_so(tmp_path):
    job = tmp_path / "job.toml"
    job.write_text('format = "job/1"\nvehicles = ["city-car", "estate", "delivery-van"]\ntemplate = "perimeter-lines"\n', "utf-8")
    mat = kit.plan(str(job))["setting_out"]
    one = resolved("delivery-van", "perimeter-lines")["setting_out"]
    assert not mat["vehicle_stands"] and one["vehicle_stands"]
    for way in (mat["perpendicular"], mat["two_tape"], one["two_tape"]):
        assert way[0]["text"].startswith("No vehicle stands here.")
        assert way[-1]["text"].startswith("Drive ")
    assert one["perpendicular"][0]["text"].startswith("Plumb the middle")


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
        if found := re.search(r"3-4-5: (\d+) \w+ (?:on the line|along the string), (\d+) square to it, (\d+) between", text):
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
    steps = plan["setting_out"]["two_tape"]
    swung = {pull["to"] for step in steps if "Swing" in step["text"] for pull in step["tape"]}
    assert not swung & set(flat)
    square = {pull["to"] for step in steps if step["text"].startswith("Two tapes cross too flat") for pull in step["tape"]}
    assert square == set(flat)


def test_the_pages_name_every_mark_and_show_every_number(demo):
    steps = demo.plan["setting_out"]
    pages = subprocess.run(
        ["pdftotext", "-layout", str(demo.path("steps.pdf")), "-"],
        capture_output=True, text=True, encoding="utf-8", check=True,
    ).stdout.split("\f")
    for number, way in enumerate(WAYS, start=1):
        text = "\n".join(page for page in pages if re.search(rf"^\s*Way {number}:", page, re.M))
        words = set(re.findall(r"[\w:]+", text))
        assert {mark["id"] for mark in demo.plan["marks"]} <= words
        numbers = [int(word) for word in words if word.isdigit()]
        for pull in (pull for step in steps[way] for pull in step["tape"] + step["check"]):
            assert any(abs(number - pull["distance_mm"]) <= SHOWN_MM for number in numbers), pull
        assert {str(step["step"]) for step in steps[way]} <= words
