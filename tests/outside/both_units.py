"""Sheets of a kind in millimetres and in inches, and lengths as either prints them."""

import re
from fractions import Fraction

import kit
from exercise_text import COUNT, made, mixed

# A length without its unit: 1177, −850, 46 5/16, 9/16; decimals where no graduation is hit.
LENGTH = r"[+−]?(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)"


def value(text):
    """The number of a printed length, exactly."""
    sign = -1 if text.startswith("−") else 1
    parts = text.lstrip("+−±").split(" ")
    return sign * sum(Fraction(part) for part in parts)


def rounded(exact, step):
    """To the nearest step, half a step away from zero."""
    sign = 1 if exact >= 0 else -1
    return sign * int(abs(exact) / step + Fraction(1, 2)) * step


class Unit:
    """What the lengths of a sheet are in."""

    def __init__(self, inches):
        self.inches = inches
        self.name = "in" if inches else "mm"
        self.step = Fraction(1, 16) if inches else Fraction(1)

    def rounded(self, exact):
        return rounded(Fraction(exact), self.step)


def both(kind, level, templates):
    """COUNT sheets of `mixed` in mm and a fifth as many more in inches: unit, words for a message, sheet, key."""
    for arguments, exercise, answer in mixed(kind, level, templates):
        yield Unit(False), f"level {level}, {' '.join(arguments)}, sheet {exercise.number}", exercise, answer
    vehicles = ["random", *kit.names("vehicles")]
    share = max(1, COUNT // 5 // len(templates))
    for index, template in enumerate(templates):
        arguments = ("--vehicle", vehicles[(index + level) % len(vehicles)], "--template", template, "--units", "inch")
        for exercise, answer in made(kind, level, share, *arguments, seed=100 * level + 50 + index):
            where = f"level {level}, {' '.join(arguments)}, sheet {exercise.number}"
            assert not re.search(r"\d mm\b", answer.text), where
            yield Unit(True), where, exercise, answer


def rows(sheet, count, first):
    """The rows of so many cells, the first of which looks like `first`, as lists of words; tables may stand side by side."""
    found = []
    for line in sheet.lines:
        cells = [cell.text for cell in line.cells()]
        parts = [cells[at:at + count] for at in range(0, len(cells), count)]
        found += [part for part in parts if len(part) == count and re.fullmatch(first, part[0])]
    return found
