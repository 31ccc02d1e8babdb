"""Setting out on paper: every number of the key from the dimensions and rules that the sheet prints, and from its scale."""

import itertools
import re
from math import hypot

import pytest

import exercise_layout
from exercise_text import BOTH, DECIMAL, LEVELS, MARK, NUMBER, PLAIN, UNIT, by_name, each_mark, mixed, number, rounded, side_by_side
from test_practice_table import HALF, LOST, roots, sums

TEMPLATES = ["perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs"]

# Paper is measured to half mm, or to 1/16 in.
PAPER_STEP = {False: 0.5, True: 1 / 16}

WORKED = re.compile(
    rf"((?:{MARK}, )*{MARK}): station [^;]*?({NUMBER}), on paper ({DECIMAL})/(\d+) = ({NUMBER})(?:, rounded ({NUMBER}))?; "
    rf"offset [^:]*?({NUMBER}), on paper ({DECIMAL})/(\d+) = ({NUMBER})(?:, rounded ({NUMBER}))?(, to the right −)?"
)
BASES = re.compile(rf"compasses from ({MARK}) \(station ({NUMBER}) {UNIT}\) and ({MARK}) \(station ({NUMBER}) {UNIT}\)")
PAIR = rf"({MARK}) – ({MARK}) ({NUMBER}) ({PLAIN})"


@pytest.mark.parametrize("level", LEVELS)
def test_every_number_follows_from_the_rules_and_the_scale_that_the_sheet_prints(level):
    measured = 0
    for arguments, exercise, answer in mixed("set-out", level, TEMPLATES, units=BOTH):
        where = f"level {level}, {' '.join(arguments)}, sheet {exercise.number}"
        scale = int(re.search(r"Scale 1:(\d+):", exercise.text)[1])
        paper_step = PAPER_STEP[exercise.inches]
        if exercise.inches:
            foot = number(re.search(rf"({PLAIN}) in on paper is 1 ft on the floor", exercise.text)[1])
            assert foot * scale == 12, where
        else:
            assert f"1 mm on paper is {scale} mm on the floor" in exercise.text, where
        key = answer.text.split("Wrong answers that")[0]
        roots(key, exercise.step, where)
        if level == 4:
            spans = by_compasses(exercise, answer, scale, where)
        else:
            sums(key, exercise.text, where)
            places = by_set_square(exercise, answer, scale, where)
            spans = {name: [place] for name, place in places.items()}
        rows = side_by_side(answer.split, PAIR)
        measured += len(rows)
        for a, b, paper, floor in rows:
            # Of places within what the whole mm of radii leave open.
            reach = [hypot(p[0] - q[0], p[1] - q[1]) for p, q in itertools.product(spans[a], spans[b])]
            lost = (HALF + LOST) * exercise.step
            assert min(reach) - lost <= number(floor) <= max(reach) + lost, f"{where}: {a} – {b}, {reach}"
            # The floor is rounded, of which half a step may be lost before it is scaled.
            assert abs(number(floor) / scale - number(paper)) <= paper_step / 2 + 1e-6 + lost / scale, f"{where}: {a} – {b}"
            assert level == 4 or number(paper) == rounded(reach[0] / scale, paper_step), f"{where}: {a} – {b}"
    assert measured


def by_set_square(exercise, answer, scale, where):
    """Places as the rules put them, on the floor and on paper."""
    layout = exercise_layout.read(exercise)
    assert layout == exercise_layout.read(answer), where
    places = {}
    step, paper_step = exercise.step, PAPER_STEP[exercise.inches]
    for name, printed in each_mark(by_name(answer.question(1), 4)).items():
        x, y = places[name] = layout.place(name)
        right = [rounded(x, step), rounded(x / scale, paper_step), rounded(y, step), rounded(y / scale, paper_step)]
        assert list(map(number, printed)) == right, f"{where}: {name} is at {x}, {y}, the key says {printed}"
    assert places and set(re.findall(MARK, exercise.question(1).text)) == set(places), where
    worked = WORKED.findall(answer.text)
    assert sorted(name for names, *_ in worked for name in names.split(", ")) == sorted(places), where
    for names, x, x_put, x_scale, x_exact, x_paper, y, y_put, y_scale, y_exact, y_paper, mirrored in worked:
        for name in names.split(", "):
            sign = -1 if mirrored and "R" in name else 1
            assert int(x_scale) == int(y_scale) == scale and [number(x_put), number(y_put)] == pytest.approx([number(x), number(y)], abs=0.01), where
            assert [number(x), sign * number(y)] == pytest.approx(places[name], abs=1e-3), f"{where}: {name}"
            # No false equals sign: what stands behind it is the quotient.
            assert [number(x_exact), sign * number(y_exact)] == pytest.approx([part / scale for part in places[name]], abs=0.0051), where
            on_paper = [rounded(part / scale, paper_step) for part in places[name]]
            assert [number(x_paper or x_exact), sign * number(y_paper or y_exact)] == on_paper, f"{where}: {name}"
    return places


def by_compasses(exercise, answer, scale, where):
    """For each mark the places where the circles meet, with radii that the whole mm leave open; left or right as its letter says."""
    front, x_front, rear, x_rear = BASES.search(exercise.question(1).text).groups()
    x_front, x_rear = number(x_front), number(x_rear)
    base = x_front - x_rear
    step, paper_step = exercise.step, PAPER_STEP[exercise.inches]
    asked = each_mark(by_name(exercise.question(1), 2))
    spans = {front: [(x_front, 0.0)], rear: [(x_rear, 0.0)]}
    found = each_mark(by_name(answer.question(1), 6))
    assert asked == {name: numbers[:2] for name, numbers in found.items()} and found, where
    for name, numbers in found.items():
        r_front, r_rear, p_front, p_rear, x_paper, y_paper = map(number, numbers)
        assert [p_front, p_rear] == [rounded(r_front / scale, paper_step), rounded(r_rear / scale, paper_step)], f"{where}: {name}"
        spans[name] = []
        for more_front, more_rear in itertools.product((-step / 2, 0.0, step / 2), repeat=2):
            along = ((r_rear + more_rear) ** 2 - (r_front + more_front) ** 2 + base**2) / (2 * base)
            across = max((r_rear + more_rear) ** 2 - along**2, 0.0) ** 0.5 * (-1 if "R" in name else 1)
            spans[name].append((x_rear + along, across))
        for axis, paper in ((0, x_paper), (1, y_paper)):
            reach = [place[axis] / scale for place in spans[name]]
            assert min(reach) - paper_step / 2 - 1e-6 <= paper <= max(reach) + paper_step / 2 + 1e-6, f"{where}: {name}, {reach}, the key says {paper}"
    return spans
