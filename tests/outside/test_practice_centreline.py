"""The centreline from the printed readings: middles, badges, and lines carried past the vehicle."""

import re

import pytest

from both_units import LENGTH, both, rows, value
from exercise_text import LEVELS

TEMPLATES = ["perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs"]


def readings(sheet):
    """Rows of the table: which end, zero's side, pairs of readings, badge."""
    found = []
    for line in sheet.given().lines:
        cells = [cell.text for cell in line.cells()]
        if re.fullmatch("(front|rear)(, again)?", cells[0]) and cells[1] in ("left", "right"):
            numbers = [value(text) for text in cells[2:]]
            found.append((cells[0], cells[1], list(zip(numbers[:-1:2], numbers[1:-1:2])), numbers[-1]))
    return found


@pytest.mark.parametrize("level", LEVELS)
def test_middles_and_lines_follow_from_the_readings(level):
    again = 0
    for unit, where, exercise, answer in both("centreline", level, TEMPLATES):
        taped = readings(exercise)
        assert taped == readings(answer) and len(taped) == (1, 2, 2, 3)[level - 1], where
        sound = {}
        limit = re.search(rf"differ by no more than ({LENGTH}) {unit.name}, their mean", exercise.text)
        assert (limit is not None) == (level == 4), where
        tapings = iter(rows(answer.asking("in the middle of each pair"), 5, "(front|rear)(, again)?")) if level == 4 else None
        for name, zero, pairs, badge in taped:
            middles = [(one + other) / 2 for one, other in pairs]
            assert all((one < other) == (zero == "left") for one, other in pairs), where
            apart = max(middles) - min(middles)
            good = level < 4 or apart <= value(limit[1])
            if level == 4:
                again += not good
                row = next(tapings)
                expected = [name, *middles, apart, "go on" if good else "tape again"]
                assert [row[0], *map(value, row[1:4]), row[4]] == expected, f"{where}: {row}"
            if good:
                end = name.split(",")[0]
                assert end not in sound, f"{where}: two good tapings of the {end}"
                middle = sum(middles) / len(middles)
                off = badge - middle
                assert off != 0, where
                side = "right" if (off > 0) == (zero == "left") else "left"
                sound[end] = middle, abs(off), side
        assert set(sound) == ({"front"} if level == 1 else {"front", "rear"}), where
        key = rows(answer.asking("by how much is the badge off"), 4, "front|rear")
        assert {row[0]: (value(row[1]), value(row[2]), row[3]) for row in key} == sound, where
        if level >= 3:
            line(exercise, answer, sound["front"], unit, where)
        else:
            through(exercise, answer, where)
    assert (again > 0) == (level == 4)


def line(exercise, answer, front, unit, where):
    """Similar triangles about the rear bumper."""
    question = exercise.asking("pulls the line through the badge").text
    apart = value(re.search(rf"({LENGTH}) {unit.name} apart", question)[1])
    places = {name: (number, way, bumper) for name, number, way, bumper in re.findall(
        rf"(mark \S+|the front wheel cent\w+) lies? ({LENGTH}) {unit.name} (ahead of|behind) the (front|rear) bumper", question)}
    found = rows(answer.asking("pulls the line"), 3, "mark .*|front (bumper|wheels)")
    assert len(found) == 2, where
    for name, off, side in found:
        if name == "front bumper":
            ahead = apart
        else:
            number, way, bumper = next(place for known, place in places.items() if name in (known, "front wheels") and ("wheel" in known) == ("wheels" in name))
            ahead = value(number) * (-1 if way == "behind" else 1) + (0 if bumper == "rear" else apart)
        exact = front[1] * ahead / apart
        right = front[2] if exact > 0 else {"left": "right", "right": "left"}[front[2]]
        assert value(off) == unit.rounded(abs(exact)) > 0 and side == right, f"{where}: {name} {off} {float(exact)}"


def through(exercise, answer, where):
    """The middle front and rear, and nothing else, is the chalk line's."""
    question = exercise.asking("Through what is the chalk line pulled?").text
    assert question.count("the middle between the lamps, front and rear") == 1, where
    assert "half-way between lies the middle" in answer.text, where
