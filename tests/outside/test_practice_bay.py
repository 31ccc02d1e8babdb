"""In the bay: ranges of the key from plan and limit as printed, and the plan's lengths from `plan --json` of the same layout."""

import re
from fractions import Fraction
from math import hypot

import pytest

import kit
from exercise_text import LEVELS
from practice_pages import ALL, LENGTH, length, runs

ROW = re.compile(rf"^(\d+) (string \S+|\S+) (\S+) (on it|{LENGTH}) ± ({LENGTH})$")
# The rows may stand side by side.
DIAGONAL = re.compile(rf"(?:^| )(\S+) to (\S+) ({LENGTH}) ± ({LENGTH})(?=$| )")
# "difference of the two" may take two lines; its plan is 0.
BOTH = re.compile(rf"(?:^| )0 ({LENGTH})(?=$| )")


def printed(value, inches):
    """A length in whole mm or sixteenths as a form has it."""
    sign, value = "−" if value < 0 else "", abs(value)
    whole, rest = divmod(value, 1)
    if not inches or not rest:
        assert not rest
        return f"{sign}{int(whole)}"
    return sign + (f"{int(whole)} " if whole else "") + f"{rest.numerator}/{rest.denominator}"


def signed(value, inches):
    return ("+" if value > 0 else "") + printed(value, inches)


def floor_to(value, step):
    return value // step * step


def positions(run):
    """Where the marks of a built-in layout should be, mm; None of a random vehicle."""
    if "random" in run.arguments:
        return None
    arguments = [word for word in run.arguments if word not in ("--units", "inch", "--paper", "Letter")]
    found = kit.plan(*arguments)
    return {mark["id"]: (mark["x_mm"], mark["y_mm"]) for mark in found["marks"]}


def in_unit(mm, run):
    """A distance as the form rounds it."""
    return Fraction(round(mm)) if not run.inches else Fraction(round(mm / 25.4 * 16), 16)


@pytest.mark.parametrize("level", LEVELS)
def test_the_ranges_of_the_key_are_plan_and_limit(level):
    templates = ["perimeter-lines"] if level == 1 else ALL
    for run in runs("bay", level, templates, most_pages=1 if level == 1 else 2):
        rows = [found for line in run.sheet.question(1).split if (found := ROW.match(line))]
        assert [int(row[1]) for row in rows] == list(range(1, len(rows) + 1))
        assert len(rows) == 4 if level == 1 else rows
        unit = "in" if run.inches else "mm"
        for row in rows:
            most = floor_to(length(row[5]), run.step)
            difference = f"{signed(-most, run.inches)} to {signed(most, run.inches)} {unit}"
            reading = difference
            if row[4] != "on it":
                low, high = length(row[4]) - most, length(row[4]) + most
                reading = f"{printed(low, run.inches)} to {printed(high, run.inches)} {unit}"
            assert run.key[f"row {row[1]} reading"] == reading, (run.arguments, row[0])
            assert run.key[f"row {row[1]} difference"] == difference
        assert level > 2 or not any(row[2].startswith(("W", "string W")) for row in rows)
        diagonals(run, unit)
        places = positions(run)
        for row in rows if places else []:
            if row[2] in places and row[3] in places:
                (x, y), (u, v) = places[row[2]], places[row[3]]
                assert abs(length(row[4]) - in_unit(hypot(x - u, y - v), run)) <= run.step / 2, row[0]
        assert run.key["the step"] == run.key["rows and marks beyond the limit"] == "by the trainee's own readings"


def diagonals(run, unit):
    part = run.sheet.asking("Tape both long diagonals")
    if part is None:
        return
    both = [found for line in part.split for found in DIAGONAL.finditer(line)]
    assert len(both) == 2 and both[0][3] == both[1][3]
    for found in both:
        plan, most = length(found[3]), floor_to(length(found[4]), run.step)
        expected = f"{printed(plan - most, run.inches)} to {printed(plan + most, run.inches)} {unit}"
        assert run.key[f"{found[1]} to {found[2]}"] == expected
    limit = next(length(found[1]) for line in part.split if (found := BOTH.search(line)))
    assert limit == sum(length(found[4]) for found in both)
    assert run.key["difference of the diagonals"] == f"0 to {printed(floor_to(limit, run.step), run.inches)} {unit}"
