"""Inches and millimetres of the exercises, worked out again in fractions from the printed text."""

import re
from fractions import Fraction
from math import floor

import pytest

from exercise_text import BOTH, LEVELS, MARK, mixed, side_by_side

TEMPLATES = ["perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs"]

# 1 in = 25.4 mm exactly (international inch, 1959).
INCH = Fraction(254, 10)

GRADUATIONS = {1: 8, 2: 16, 3: 16, 4: 32}

PAIR = rf"{MARK} – {MARK}"
INCHES = r"(?:(?P<feet>\d+) ft ?)?(?:(?P<whole>\d+) ?(?!/))?(?:(?<![\d])(?P<top>\d+)/(?P<bottom>\d+) )?(?:in)?"

LENGTH = r"(?:\d+ ft(?: [\d/ +]+ in)?|[\d/ +]+ in)"

SLIPS = {
    "took the inches for centimetres": lambda inches, top: inches * 10,
    "left the fraction out": lambda inches, top: floor(inches) * INCH,
    "put the top of the fraction behind the decimal point": lambda inches, top: Fraction(f"{floor(inches)}.{top}") * INCH,
    "took 1 in as 25 mm": lambda inches, top: inches * 25,
}


def nearest(value):
    """To the nearest whole, half away from zero."""
    return floor(value + Fraction(1, 2))


def inches(text):
    """A length such as "18 ft 17/32 in" in inches, in lowest terms and with fewer than 12 in beside feet."""
    text = text.replace("+", " ")
    found = re.fullmatch(INCHES, text.strip())
    assert found and text.strip(), text
    feet, whole = int(found["feet"] or 0), int(found["whole"] or 0)
    part = Fraction(0)
    if found["top"]:
        part = Fraction(int(found["top"]), int(found["bottom"]))
        assert (part.numerator, part.denominator) == (int(found["top"]), int(found["bottom"])), f"{text}: not in lowest terms"
        assert part < 1, text
    assert found["feet"] is None or whole < 12, text
    return 12 * feet + whole + part


def rows(sheet, question, tail):
    """Pair of marks and the rest of each row of a question's table, which may stand in blocks side by side."""
    return side_by_side(sheet.question(question).split, rf"({PAIR}) {tail}")


@pytest.mark.parametrize("level", LEVELS)
def test_every_length_is_converted_as_fractions_say(level):
    for arguments, exercise, answer in mixed("units", level, TEMPLATES, units=BOTH):
        where = f"level {level}, {' '.join(arguments)}, sheet {exercise.number}"
        # A shop that works in inches is asked for mm first.
        to_inches, to_mm = (2, 1) if "inch" in arguments else (1, 2)
        per_inch = int(re.search(r"to the nearest 1/(\d+) in", exercise.question(to_inches).text)[1])
        assert per_inch == GRADUATIONS[level]
        asked, found = rows(exercise, to_inches, r"(\d+) mm"), rows(answer, to_inches, rf"(\d+) mm ({LENGTH})")
        assert asked and asked == [row[:2] for row in found], where
        for pair, mm, text in found:
            exact = int(mm) / INCH * per_inch
            assert exact % 1 != Fraction(1, 2), f"{where}: {pair} is half a graduation"
            assert inches(text) == Fraction(nearest(exact), per_inch), f"{where}: {pair} {mm} mm is not {text}"
        asked, found = rows(exercise, to_mm, rf"({LENGTH})"), rows(answer, to_mm, rf"({LENGTH}) (\d+)")
        assert asked and asked == [row[:2] for row in found], where
        for pair, text, mm in found:
            assert int(mm) == nearest(inches(text) * INCH), f"{where}: {pair} {text} is not {mm} mm"
        slip(exercise, answer, where)


def slip(exercise, answer, where):
    """What was read and what was written tell one slip alone, and the key names it."""
    asked = re.search(r"Should be mm ([\d /+]+ in) (\d+) mm", exercise.question(3).text)
    key = answer.question(3).text
    found = re.search(r"Should be mm ([\d /+]+ in) (\d+) mm (\d+)", key)
    assert asked.groups() == found.groups()[:2], where
    read, written, should = inches(found[1]), int(found[2]), int(found[3])
    assert should == nearest(read * INCH), where
    top = re.search(r"(\d+)/", found[1])[1]
    wrong = {words: nearest(slip(read, top)) for words, slip in SLIPS.items()}
    fits = [words for words, mm in wrong.items() if mm == written]
    assert len(fits) == 1, f"{where}: {fits}"
    told = {words: int(mm) for words, mm in re.findall(r"(took[^:=]*|left[^:=]*|put[^:=]*): [\d. ×]+ = (\d+) mm", key)}
    assert told == wrong, where
    named = re.search(r"([^:]*): [\d. ×]+ = (\d+) mm ← as written", key)
    assert named[1].endswith(fits[0]) and int(named[2]) == written, where
