"""Setting out on paper: floor and paper numbers of the key against one another and against what the sheet gives."""

import re
from math import hypot

import pytest

from exercise_text import LEVELS, MARK, NUMBER, mixed, number, side_by_side
from test_practice_table import ROUNDED, roots, sums

TEMPLATES = ["perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs"]

# Paper is measured to half mm.
PAPER_MM = 0.25 + 1e-6

ROW = rf"({MARK}) ({NUMBER}) ({NUMBER}) ({NUMBER}) ({NUMBER})"
RADII = rf"({MARK}) (\d+) (\d+) ({NUMBER}) ({NUMBER}) ({NUMBER}) ({NUMBER})"
BASES = re.compile(rf"compasses from ({MARK}) \(station ({NUMBER}) mm\) and ({MARK}) \(station ({NUMBER}) mm\)")
PAIR = rf"({MARK}) – ({MARK}) ({NUMBER}) (\d+)"


@pytest.mark.parametrize("level", LEVELS)
def test_paper_numbers_are_floor_numbers_at_the_scale_and_distances_follow_from_places(level):
    for arguments, exercise, answer in mixed("set-out", level, TEMPLATES):
        where = f"level {level}, {' '.join(arguments)}, sheet {exercise.number}"
        scale = int(re.search(r"Scale 1:(\d+):", exercise.text)[1])
        key = answer.text.split("Wrong answers that")[0]
        roots(key, where)
        sums(key, exercise.text, where)
        if level == 4:
            places, slack = by_compasses(exercise, answer, scale, where), 2.0
        else:
            places, slack = {}, 1.0
            for name, *rest in side_by_side(answer.question(1).split, ROW):
                x, x_paper, y, y_paper = map(number, rest)
                places[name] = x, y
                # The floor is printed in whole mm, half a mm of which may be lost before it is scaled.
                assert abs(x / scale - x_paper) <= PAPER_MM + 0.5 / scale, f"{where}: {name}"
                assert abs(y / scale - y_paper) <= PAPER_MM + 0.5 / scale, f"{where}: {name}"
        assert places, where
        for a, b, paper, floor in side_by_side(answer.split, PAIR):
            straight = hypot(*(p - q for p, q in zip(places[a], places[b])))
            assert abs(straight - number(floor)) <= ROUNDED + 1.5 * slack, f"{where}: {a} – {b}, {straight}"
            assert abs(number(floor) / scale - number(paper)) <= PAPER_MM + 0.5 / scale, f"{where}: {a} – {b}"


def by_compasses(exercise, answer, scale, where):
    """Places where the circles of the given distances meet, left or right as the mark's letter says."""
    front, x_front, rear, x_rear = BASES.search(re.sub(r" \d+ points?\b", "", exercise.text)).groups()
    x_front, x_rear = number(x_front), number(x_rear)
    asked = side_by_side(exercise.question(1).split, rf"({MARK}) (\d+) (\d+)")
    places = {front: (x_front, 0.0), rear: (x_rear, 0.0)}
    found = side_by_side(answer.question(1).split, RADII)
    # The key may stand in other blocks than the sheet.
    assert sorted(asked) == sorted(row[:3] for row in found) and found, where
    for name, *rest in found:
        r_front, r_rear, p_front, p_rear, x_paper, y_paper = map(number, rest)
        base = x_front - x_rear
        along = (r_rear**2 - r_front**2 + base**2) / (2 * base)
        across = max(r_rear**2 - along**2, 0.0) ** 0.5 * (-1 if "R" in name else 1)
        places[name] = x_rear + along, across
        assert abs(r_front / scale - p_front) <= PAPER_MM and abs(r_rear / scale - p_rear) <= PAPER_MM, f"{where}: {name}"
        # Whole mm of the radii move the meeting point by a few mm on the floor.
        assert places[name] == pytest.approx((x_paper * scale, y_paper * scale), abs=(PAPER_MM + 0.1) * scale), f"{where}: {name}"
    return places
