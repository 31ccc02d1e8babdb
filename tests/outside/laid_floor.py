"""A floor as it truly lies: marks set out by hand and wheel centres plumbed, in the vehicle's true frame; and the tape
that reads it. Nothing here knows what the program takes for likely.

Where the numbers come from. All are standard deviations unless something else is said.

| number | value | source |
|---|---|---|
| scatter of a mark laid by tape and square | 1.8 mm an axis | simulated setting-out with the errors below; 1.8 to 2.5 mm |
| plumb bob, a point of the vehicle carried to the floor | 1 mm an axis | common practice indoors, no source |
| scale of a class II tape | 0.2/√3 mm/m | MI-008 (2014/32/EU, Annex X): ±(0.3 + 0.2 L) mm, rectangular (JCGM 100, 4.3.7) |
| constant of a class II tape | 0.3/√3 mm | the same |
| setting the tape's zero, reading it, seeing a string | 0.5 mm | half a graduation of a tape in mm; common practice, no source |
| middle of a mark 1 mm wide taken by eye | ±0.5 mm rectangular (0.29 mm) | width by common practice, no source; JCGM 100, 4.3.7 |
| moving a mark by a given amount | 0.5 mm an axis | common practice, no source |
| a mark at the wrong place | 10 to 60 mm, 1 floor in 4 | common practice, no source |
| the whole grid at the wrong place | 1.5 to 4 tolerances or 0.2° to 0.5°, 1 floor in 20 | common practice, no source |
| one reading wrong | 1 floor in 4: 10 mm, 100 mm, an inch, inches for cm | common practice, no source |
| the tape that laid the grid also checks it | 1 floor in 2 | common practice, no source |
"""

import math
from dataclasses import dataclass, field

import numpy as np

LAID_MM = 1.8
PLUMB_MM = 1.0
TAPE_SCALE = 0.2e-3 / math.sqrt(3)
TAPE_CONSTANT_MM = 0.3 / math.sqrt(3)
READING_MM = 0.5
HALF_MARK_MM = 0.5
MOVED_MM = 0.5

MARK_OFF_MM = (10.0, 60.0)
GRID_OFF_TOLERANCES = (1.5, 4.0)
GRID_TURNED_DEG = (0.2, 0.5)
MISREAD_MM = (10.0, 100.0, 25.4)

# What lies nearer to a string is read by eye on a rule, what is farther is taped from it (common practice, no source).
BY_RULE_MM = 100.0

FLOORS_WITH_A_MARK_OFF = 1 / 4
FLOORS_WITH_THE_GRID_OFF = 1 / 20
FLOORS_WITH_A_MISREAD = 1 / 4
FLOORS_CHECKED_WITH_THE_LAYING_TAPE = 1 / 2


def turned(degrees):
    """The matrix of a turn counter-clockwise, seen from above."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return np.array([[c, -s], [s, c]])


@dataclass(frozen=True)
class Layout:
    """Where marks and wheel marks should be, in mm: x forward, y left, origin between the front wheel centres."""

    marks: dict
    tolerances: dict
    wheels: dict
    front_bumper: float
    rear_bumper: float

    @staticmethod
    def of(plan):
        """From `plan.json`: the marks as listed; wheels and bumpers worked out again from the vehicle's dimensions."""
        assert plan["template"]["origin"] == "between the front wheel centres"
        size = plan["vehicle"]["dimensions_mm"]
        bases = size["wheelbase_left"], size["wheelbase_right"]
        front, rear = ((size[track] + size["tyre_width"]) / 2 for track in ("front_track", "rear_track"))
        return Layout(
            marks={mark["id"]: np.array([mark["x_mm"], mark["y_mm"]]) for mark in plan["marks"]},
            tolerances={mark["id"]: mark["tolerance_mm"] for mark in plan["marks"]},
            # Below the tyres' outer faces.
            wheels={
                "WFL": np.array([0.0, front]), "WFR": np.array([0.0, -front]),
                "WRL": np.array([-bases[0], rear]), "WRR": np.array([-bases[1], -rear]),
            },
            front_bumper=size["front_overhang"],
            rear_bumper=-sum(bases) / 2 - size["rear_overhang"],
        )


@dataclass(frozen=True)
class Misread:
    """A slip at one row of the form, by its index. It happens once."""

    row: int
    error: float | None
    """mm too much, or None where inches were read and written as centimetres"""

    def of(self, value):
        return value / 2.54 if self.error is None else value + self.error


@dataclass(frozen=True)
class Mishaps:
    """What went grossly wrong on a floor, besides chance."""

    mark: str | None = None
    mark_by: tuple = (0.0, 0.0)
    grid_by: tuple = (0.0, 0.0)
    grid_turned: float = 0.0
    misread: Misread | None = None

    @staticmethod
    def drawn(dice, layout, rows):
        """As shops have them: see the table above. `rows` are those of the form."""
        mark, mark_by = None, (0.0, 0.0)
        if dice.random() < FLOORS_WITH_A_MARK_OFF:
            mark = str(dice.choice(sorted(layout.marks)))
            mark_by = somewhere(dice, dice.uniform(*MARK_OFF_MM))
        grid_by, grid_turned = (0.0, 0.0), 0.0
        if dice.random() < FLOORS_WITH_THE_GRID_OFF:
            if dice.random() < 0.5:
                grid_by = somewhere(dice, dice.uniform(*GRID_OFF_TOLERANCES) * max(layout.tolerances.values()))
            else:
                grid_turned = float(dice.choice([-1, 1]) * dice.uniform(*GRID_TURNED_DEG))
        misread = drawn_misread(dice, rows) if dice.random() < FLOORS_WITH_A_MISREAD else None
        return Mishaps(mark, mark_by, grid_by, grid_turned, misread)


def somewhere(dice, distance):
    """A displacement of this size in any direction."""
    angle = dice.uniform(0, 2 * math.pi)
    return float(distance * math.cos(angle)), float(distance * math.sin(angle))


def drawn_misread(dice, rows):
    """One slip at any row. Where a rule is read it is 10 mm."""
    row = int(dice.integers(len(rows)))
    errors = MISREAD_MM[:1] if abs(float(rows[row].should_be or 0)) < BY_RULE_MM else (*MISREAD_MM, None)
    error = errors[dice.integers(len(errors))]
    return Misread(row, error if error is None else float(error * dice.choice([-1, 1])))


@dataclass(frozen=True)
class Tape:
    """One tape's own errors, the same at every reading: part of the length, and mm."""

    scale: float = 0.0
    constant: float = 0.0

    def shows(self, length):
        """What it shows on a true length."""
        return length * (1 + self.scale) + self.constant

    @staticmethod
    def drawn(dice):
        return Tape(dice.normal(0, TAPE_SCALE), dice.normal(0, TAPE_CONSTANT_MM))


@dataclass
class LaidFloor:
    """The true places of marks and plumbed wheel marks on one floor."""

    layout: Layout
    places: dict
    wheels: dict = field(default_factory=dict)

    @staticmethod
    def perfect(layout):
        return LaidFloor(layout, dict(layout.marks), dict(layout.wheels))

    @staticmethod
    def laid(dice, layout, tape, mishaps):
        """Set out from a plumbed centreline with one tape: what is common turns, shifts and stretches the whole grid."""
        front, rear = dice.normal(0, PLUMB_MM, 2)
        lean = (front - rear) / (layout.front_bumper - layout.rear_bumper)
        datum = np.array([dice.normal(0, PLUMB_MM), front - lean * layout.front_bumper])
        turn = math.degrees(math.atan(lean))
        floor = LaidFloor(layout, {
            name: turned(turn) @ (at * (1 + tape.scale)) + datum + dice.normal(0, LAID_MM, 2)
            for name, at in layout.marks.items()
        })
        if mishaps.mark:
            floor.places[mishaps.mark] = floor.places[mishaps.mark] + mishaps.mark_by
        floor.places = {
            name: turned(mishaps.grid_turned) @ at + mishaps.grid_by for name, at in floor.places.items()
        }
        for wheel in layout.wheels:
            floor.plumb(dice, wheel)
        return floor

    def plumb(self, dice, wheel):
        self.wheels[wheel] = self.layout.wheels[wheel] + dice.normal(0, PLUMB_MM, 2)

    def at(self, point):
        return self.wheels[point] if point in self.wheels else self.places[point]

    def beyond(self, mark, place=None):
        """How far a mark is from where it should be beside the true vehicle, in tolerances."""
        place = self.places[mark] if place is None else place
        return float(np.hypot(*(place - self.layout.marks[mark]))) / self.layout.tolerances[mark]

    def worst(self, places=None):
        """The mark that is farthest off, in tolerances."""
        places = places or self.places
        return max(self.beyond(mark, place) for mark, place in places.items())

    def shifted(self, forward, left, degrees):
        """Where the marks would be with the whole grid turned about the frame's origin, then shifted."""
        return {name: turned(degrees) @ at + (forward, left) for name, at in self.places.items()}

    def distance(self, start, end):
        return float(np.hypot(*(self.at(end) - self.at(start))))

    def offset(self, mark, first, last, first_off=0.0, last_off=0.0):
        """How far a mark is seen to the left of a string from `first` to `last`; the string's ends may be off, to the left."""
        a, along = self.at(first), self.at(last) - self.at(first)
        length = float(np.hypot(*along))
        beside = self.at(mark) - a
        part = float(along @ beside) / length**2
        left = float(along[0] * beside[1] - along[1] * beside[0]) / length
        return left - (first_off + part * (last_off - first_off))


class Reader:
    """Eyes, tape and string on one floor. The tape's zero, and the string's ends, are set once for each lay."""

    def __init__(self, dice, tape):
        self.dice, self.tape = dice, tape
        self.zeros, self.strings = {}, {}

    def by_eye(self):
        """A graduation against the middle of a mark."""
        return self.dice.normal(0, READING_MM) + self.on_mark()

    def on_mark(self):
        return self.dice.uniform(-HALF_MARK_MM, HALF_MARK_MM)

    def read(self, floor, row, lay):
        """What is read for a row; `lay` is anything that is the same for what is read without setting anew."""
        if row.kind == "inline":
            ends = self.strings.setdefault((lay, row.end), (self.on_mark(), self.on_mark()))
            return self.beside(floor.offset(row.start, *row.line, *ends))
        if lay not in self.zeros:
            self.zeros[lay] = self.by_eye()
        return self.tape.shows(floor.distance(row.start, row.end)) + self.zeros[lay] + self.by_eye()

    def beside(self, offset):
        """An offset from a string: the tape is held to the string anew at each mark."""
        if abs(offset) < BY_RULE_MM:
            return offset + self.by_eye()
        taped = self.tape.shows(abs(offset)) + self.dice.normal(0, READING_MM) + self.by_eye()
        return math.copysign(taped, offset)
