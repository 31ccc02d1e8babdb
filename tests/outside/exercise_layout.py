"""The layout of an exercise, worked out again from the dimensions and the rules that its sheet prints.

Nothing here knows templates or vehicles: a rule such as "front gap 850 mm ahead of the front bumper" is read as a person
reads it, and the sum is chosen from it. x forward, y left, mm.
"""

import re
from dataclasses import dataclass
from math import cos, floor, radians, sin

from exercise_text import MARK, ONE_LINE, PLAIN, UNIT, Sheet, beside, column, number, rounded

LENGTHS = [
    "front overhang", "wheelbase", "wheelbase left", "wheelbase right", "rear overhang", "front track", "rear track",
    "tyre width", "rim width", "overall width", "width over mirrors",
]

# UN R30, 6.1.1.1: A1 = x · S1. The ratio x by the code's aspect ratio (from memory).
RIM_RATIO = {70: 0.70, 65: 0.70, 55: 0.70, 45: 0.85}

KEY = r"(?:\d+|[LCR]\d*|[A-Z]\d+[LR]?)"

# Header lines of one table lie no farther apart, points.
HEADING = 25.0


@dataclass
class Layout:
    """Dimensions by name, and by station, rail or free mark where it lies."""

    lengths: dict
    tyre: str | None
    rules: dict
    # In inches, not in mm.
    inches: bool

    def wheelbase(self, side):
        left = self.lengths.get("wheelbase left", self.lengths.get("wheelbase"))
        right = self.lengths.get("wheelbase right", self.lengths.get("wheelbase"))
        return {"L": left, "R": right, "C": (left + right) / 2}[side]

    def tyre_width(self):
        """As given, or from the size code, in whole mm."""
        if "tyre width" in self.lengths:
            return self.lengths["tyre width"]
        nominal, aspect = map(int, re.fullmatch(r"(\d+)/(\d+)R\d+", self.tyre).groups())
        if "rim width" not in self.lengths:
            return self.from_mm(float(nominal))
        rim = self.lengths["rim width"] * (25.4 if self.inches else 1.0)
        width = float(floor(nominal + 0.4 * (rim - RIM_RATIO[aspect] * nominal) + 0.5))
        return self.from_mm(width)

    def from_mm(self, width):
        """Whole mm as the sheet goes on with them: in inches on the nearest 1/16."""
        return rounded(width / 25.4, 1 / 16) if self.inches else width

    def datum(self, words, side):
        """Where a part of the vehicle lies along the centreline, from between the front wheel centres."""
        if found := re.fullmatch(r"station (\d+)", words):
            return self.station(found[1], side)
        return {
            "the front axle": lambda: 0.0,
            "the rear axle": lambda: -self.wheelbase(side),
            "the front bumper": lambda: self.lengths["front overhang"],
            # The overhang counts from the mean of both wheelbases.
            "the rear bumper": lambda: -self.wheelbase("C") - self.lengths["rear overhang"],
        }[words]()

    def station(self, name, side):
        place = self.rules[name]
        if found := re.fullmatch(r"at (.*)", place):
            return self.datum(found[1], side)
        if found := re.fullmatch(rf"[a-z ]*?({PLAIN}) {UNIT} (ahead of|behind) (.*)", place):
            return self.datum(found[3], side) + number(found[1]) * (1 if found[2] == "ahead of" else -1)
        part, first, second = re.fullmatch(r"([\d.]+) of the way from (.*) to (.*)", place).groups()
        return (1 - number(part)) * self.datum(first, side) + number(part) * self.datum(second, side)

    def half_width(self, words):
        track = {name: self.lengths[f"{name} track"] / 2 for name in ("front", "rear")}
        faces = {
            "the tyres' outer faces (of the wider track)": max(track.values()),
            "the front tyres' outer faces": track["front"],
            "the rear tyres' outer faces": track["rear"],
        }
        if words in faces:
            return faces[words] + self.tyre_width() / 2
        if found := re.fullmatch(r"the ([a-z ]+) rail", words):
            return self.rail(self.named(f"{found[1]} rail"))
        return {
            "the centreline": 0.0,
            "the body's sides": self.lengths["overall width"] / 2,
            "the mirrors' outermost points": self.lengths["width over mirrors"] / 2,
        }[words]

    def rail(self, name):
        outward, words = re.fullmatch(rf"(?:[a-z ]*?({PLAIN}) {UNIT} outward of|at) (.*)", self.rules[name]).groups()
        return self.half_width(words) + number(outward or "0")

    def named(self, what):
        """The rail that the column "What" calls so."""
        return next(name for name, words in self.rules["what"].items() if words == what)

    def point(self, name, side):
        sign, half = {"L": 1, "R": -1}[side], self.lengths["overall width"] / 2
        # At level 1 how far along and across, so that nobody needs a sine.
        plain = re.fullmatch(
            rf"({PLAIN}) {UNIT} (ahead of|behind) the (front|rear) corner of the body, ({PLAIN}) {UNIT} (outside|inside) it", self.rules[name]
        )
        if plain:
            along, way, corner, across, out = plain.groups()
            x = self.datum(f"the {corner} bumper", side) + number(along) * (1 if way == "ahead of" else -1)
            return x, sign * (half + number(across) * (1 if out == "outside" else -1))
        full = re.fullmatch(
            rf"[a-z ]*?({PLAIN}) {UNIT} from the (front|rear) corner of the body, [a-z ]*?([\d.]+)° from straight (ahead|rearward) outwards?",
            self.rules[name],
        )
        assert full, self.rules[name]
        reach, corner, bearing, zero = full.groups()
        angle = radians(number(bearing))
        x = self.datum(f"the {corner} bumper", side) + number(reach) * cos(angle) * (1 if zero == "ahead" else -1)
        return x, sign * (half + number(reach) * sin(angle))

    def place(self, mark):
        """Station and offset of a mark, unrounded."""
        if mark in self.rules:
            return self.point(mark, mark[-1])
        station, side, nth = re.fullmatch(r"(\d+)([LCR])(\d*)", mark).groups()
        across = 0.0 if side == "C" else self.rail(side + nth) * (1 if side == "L" else -1)
        return self.station(station, side), across


def read(sheet):
    """The layout as a sheet gives it."""
    given = sheet.given()
    assert "from the point between the front wheel centres: ahead positive" in given.text
    cells = [cell.text for line in given.lines for cell in line.cells()]
    lengths, tyre = {}, None
    for name, value in zip(cells, cells[1:]):
        if name in LENGTHS:
            assert name not in lengths, name
            lengths[name] = number(re.fullmatch(rf"({PLAIN}) {UNIT}", value)[1])
        tyre = value if name == "tyre size" else tyre
    return Layout(lengths, tyre, rules(given), sheet.inches)


def rules(given):
    """Station, rail or free mark → where it lies, and below "what" → what it is."""
    head = next(line for line in given.lines if {"What", "Where"} <= {word.text for word in line})
    what, where = (next(word.left for word in head if word.text == text) for text in ("What", "Where"))
    end = min((word.left for word in head if word.left > where + ONE_LINE), default=float("inf"))
    near = [word for line in given.lines if abs(line.middle - head.middle) < HEADING for word in line]
    start = max(word.left for word in near if word.text == "Station," and word.left < what)
    below = Sheet(0, 0, [line for line in given.lines if line.middle > head.middle + ONE_LINE])
    names, middles = [], []
    for line in column(below, start - 1, what - 1):
        if names and names[-1].endswith(","):
            names[-1] += " " + line.text
            middles[-1] = (middles[-1] + line.middle) / 2
        elif re.fullmatch(rf"{KEY}(?:, {KEY})*,?", line.text):
            names.append(line.text)
            middles.append(line.middle)
        elif line.text != "rail":
            break
    found = {"what": {}}
    columns = column(below, what - 1, where - 1), column(below, where - 1, end - 1)
    whats, wheres = (beside(middles, lines) for lines in columns)
    for name, is_what, lies in zip(names, whats, wheres):
        for one in name.split(", "):
            assert one not in found, one
            found[one] = " ".join(line.text for line in lies)
            found["what"][one] = " ".join(line.text for line in is_what)
    return found
