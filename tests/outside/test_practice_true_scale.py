"""Percent of scale, what the layout comes out as, and what to do, from the printed readings alone."""

import re
import subprocess
from math import hypot

import pytest

from both_units import LENGTH, both, rows, value
from exercise_text import LEVELS

TEMPLATES = ["perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs"]

DEEDS = {
    "Lay the sheets: the print is true to scale.": "Every way is within what counts as true.",
    "Print again at 100 %, “fit to page” off, and measure again.": "the page was scaled. A profile would hide it",
    "Enter both measurements in the printer's profile": "the printer's own error, the same on every sheet.",
    "Cut and join the sheets, and share the error out": None,
}


@pytest.mark.parametrize("level", LEVELS)
def test_percent_sizes_and_deed_follow_from_the_readings(level):
    seen = set()
    for unit, where, exercise, answer in both("true-scale", level, TEMPLATES):
        given = exercise.given().text
        limit, bound, side, most = re.search(
            rf"True to scale: within ([\d.]+) %, here within ([\d.]+) {unit.name} of ({LENGTH}) {unit.name}\. Further off by up to ([\d.]+) %", given
        ).groups()
        limit, most = value(limit) / 100, value(most) / 100
        assert abs(value(bound) - limit * value(side)) < 0.0006, where
        parts = percent(answer, unit, value(side), limit, level, where)
        sizes(given, answer, unit, parts, level, where)
        off = max(abs(part - 1) for part in parts)
        right = 0 if off <= limit else 2 if off <= most else 1
        question, key = exercise.asking("What now?").text, answer.asking("What now?").text
        for index, (words, why) in enumerate(DEEDS.items()):
            assert words in question, f"{where}: {words}"
            assert (why is not None and why in key) == (index == right), f"{where}: {words}"
        seen.add(right)
    assert len(seen) == (2 if level == 1 else 3)


def percent(answer, unit, side, limit, level, where):
    """What came out of what should be 1, each way."""
    names = ["both ways"] if level < 3 else ["along", "across"]
    found = rows(answer.asking("What percent of the true length"), 5, "both ways|along|across")
    assert [row[0] for row in found] == names, where
    parts = []
    for _, should, measures, printed, true in found:
        assert value(should) == side, where
        part = value(measures) / side
        assert abs(value(printed) - 100 * part) <= 0.005 + 1e-9, f"{where}: {printed}"
        assert true == ("yes" if abs(part - 1) <= limit else "no"), where
        parts.append(part)
    return parts


def sizes(given, answer, unit, parts, level, where):
    """Length, width and diagonal as they come out."""
    length = value(re.search(rf"layout is ({LENGTH}) {unit.name} long", given)[1])
    should = {"length": (length, length * parts[0])}
    if level >= 2:
        width = value(re.search(rf"and ({LENGTH}) {unit.name} wide", given)[1])
        should["width"] = width, width * parts[-1]
    if level == 4:
        should["diagonal"] = hypot(length, width), hypot(*(comes for _, comes in should.values()))
    found = rows(answer.asking("How large does the layout come out?"), 5, "length|width|diagonal")
    assert [row[0] for row in found] == list(should), where
    for name, true, comes, off, way in found:
        exact, printed = should[name]
        numbers = [unit.rounded(exact), unit.rounded(printed), unit.rounded(abs(printed - exact))]
        assert list(map(value, (true, comes, off))) == numbers, f"{where}: {name} {numbers}"
        assert way == ("too short" if printed < exact else "too long"), where


def test_what_counts_as_true_is_what_sheet_0_lets_pass(demo):
    text = subprocess.run(["pdftotext", str(demo.path("stencils.pdf")), "-"], capture_output=True, text=True, encoding="utf-8", check=True).stdout
    assert "the square 100 ± 0.5 mm both ways" in " ".join(text.split())
