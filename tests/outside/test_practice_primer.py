"""The page of words and signs: its numbers hold together, and it has nothing to hand in."""

import os
import re
import tempfile
from fractions import Fraction
from math import hypot
from pathlib import Path

import pytest

import exercise_text
import kit
from both_units import LENGTH, Unit, value
from exercise_text import COUNT, LEVELS, MARK

TEMPLATES = ["perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs"]
ROOT = re.compile(r"across ([\d.]+); √\(([\d.]+)² \+ ([\d.]+)²\) = ([\d.]+)")


def made(level, template, count, *more):
    """The pages of a run, which leaves no answers."""
    with tempfile.TemporaryDirectory(dir=os.environ.get(kit.FOLDER_VARIABLE)) as folder:
        kit.asked("practice", "--kinds", "primer", "--level", level, "--seed", 10 + level, "--count", count,
                  "--vehicle", "random", "--template", template, *more, "--out", folder)
        assert not (Path(folder) / "answers.pdf").exists()
        path = Path(folder) / "exercises.pdf"
        assert len(exercise_text.pages(path)) == count, "a page each"
        return list(exercise_text.sheets(path, "primer").values())


def table(sheet):
    """Mark → station, offset and both tapes, from rows that may stand side by side."""
    row = re.compile(rf"(?:^| )({MARK}) ({LENGTH}) ({LENGTH}) ({LENGTH}) ({LENGTH})(?= {MARK} |$)")
    found = [match.groups() for line in sheet.lines for match in row.finditer(line.text)]
    return {name: [value(text) for text in numbers] for name, *numbers in found}


@pytest.mark.parametrize("level", LEVELS)
def test_the_numbers_of_the_page_hold_together(level):
    for template in TEMPLATES:
        for inches in (False, True):
            unit = Unit(inches)
            more = ("--units", "inch") if inches else ()
            for sheet in made(level, template, max(1, COUNT // 8), *more):
                where = f"level {level}, {template}, sheet {sheet.number}"
                assert not inches or not re.search(r"\d mm\b", sheet.text), where
                assert "Name" not in sheet.lines[0].text, where
                page(sheet, unit, level, where)


def page(sheet, unit, level, where):
    """Two-tape distances against places, and the marks that are read in words."""
    marks, text = table(sheet), sheet.text
    bases = re.search(rf"from ({MARK}) and from ({MARK})", text).groups()
    assert len(marks) >= 3, where
    for name, (x, y, *tapes) in marks.items():
        for base, tape in zip(bases, tapes):
            far = hypot(x - marks[base][0], y - marks[base][1])
            assert abs(far - tape) <= 1.5 * unit.step, f"{where}: {name} from {base} is {far}"
    read = re.search(rf"Read ({MARK}): station ({LENGTH}) is (?:({LENGTH}) {unit.name} (ahead of|behind)|level with) the zero point; "
                     rf"offset ({LENGTH}) is ({LENGTH}) {unit.name} left", text)
    name, station, along, way, offset, across = read.groups()
    x, y = marks[name][:2]
    assert value(station) == x and value(offset) == y == value(across) > 0, where
    if along:
        assert value(along) == abs(x) and way == ("ahead of" if x > 0 else "behind"), where
    else:
        assert x == 0, where
    bumper(text, unit, x, where)
    if level >= 3:
        given, far, again, straight = map(float, ROOT.search(text).groups())
        assert given == again and abs(hypot(far, again) - straight) < 0.06, where
        assert abs(straight - marks[name][3]) <= 0.5 * unit.step + Fraction(6, 100), where


def bumper(text, unit, x, where):
    """How far the mark lies from a bumper, as a difference."""
    found = re.search(rf"From the (front|rear) bumper, which lies at station ({LENGTH}): ([−\d.]+) − \(?([−\d.]+)\)? = ([−\d.]+) {unit.name}, "
                      rf"so the mark lies ({LENGTH}) {unit.name} (ahead of|behind)", text)
    if found:
        _, at, to, less, off, far, way = found.groups()
        assert value(at) == value(less) and value(to) == x, where
        assert value(off) == x - value(at) and value(far) == abs(value(off)), where
        assert way == ("ahead of" if value(off) > 0 else "behind"), where
