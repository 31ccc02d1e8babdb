"""A technician who lays floors, tapes the form, and does what `check` asks: no more, no less.

He knows how people and tapes err (laid_floor.py) and nothing of how the program judges. Each floor has a number, and
is the same whenever it is asked for. One case, many floors, as a table:

    python tests/outside/technician.py --floors 400

One floor in full, to see what went wrong:

    python tests/outside/technician.py --case perimeter-lines/delivery-van --seed 17 --verbose
"""

import functools
import json
import tempfile
import zlib
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

import kit
from form import Form, Row
from laid_floor import FLOORS_CHECKED_WITH_THE_LAYING_TAPE, MOVED_MM, LaidFloor, Layout, Mishaps, Reader, Tape

TEMPLATES = ("perimeter-lines", "side-and-end-panels", "rear-corner-arcs", "target-line")
VEHICLES = ("delivery-van", "compact-hatchback", "city-car")

# A check, and three rounds of doing what the report asks, each ended by a check.
CHECKS = 4

VERDICTS = ("inside", "outside", "undecided")

# A mark nearer to its place than this part of its tolerance needs no hand on it.
WELL_PLACED = 0.5


@dataclass(frozen=True)
class Case:
    template: str
    vehicle: str
    values: tuple = ()
    """values of the template other than its own, as in `tolerance=8mm`"""

    @property
    def id(self):
        return f"{self.template}/{self.vehicle}"

    @property
    def arguments(self):
        values = (word for value in self.values for word in ("--set", value))
        return ("--vehicle", self.vehicle, "--template", self.template, *values)


ALL_CASES = [Case(template, vehicle) for template in TEMPLATES for vehicle in VEHICLES]


@dataclass(frozen=True)
class Bay:
    """What a case gives into the technician's hands: where marks belong, and the blank form."""

    case: Case
    layout: Layout
    form: Form


@functools.cache
def bay(case):
    made = kit.made(*case.arguments, "--paper", "A4")
    form = Form.read(made.read("readings.csv"))
    assert not form.filled, "the form is not blank"
    return Bay(case, Layout.of(made.plan), form)


@dataclass(frozen=True)
class Judged:
    """What `check` says of a form."""

    verdict: str
    grid: str
    vehicle: str
    todo: list
    text: str = field(repr=False, default="")

    def asked(self, *kinds):
        return [task for task in self.todo if task["kind"] in kinds]

    @property
    def moves(self):
        return self.asked("move", "turn_grid")

    @property
    def contradicts(self):
        """Whether readings are said not to agree with each other, in whatever words."""
        return bool(self.asked("retape")) or "contradict" in self.text.lower()


def judge(case, form, *more):
    """Runs `check` on a form. What breaks the contract is an AssertionError."""
    with tempfile.TemporaryDirectory(prefix="baystencil-form-") as folder:
        path = Path(folder) / "readings.csv"
        path.write_text(form.text(), encoding="utf-8")
        done = kit.run("check", path, "--json", *case.arguments, *more)
    assert done.returncode in (0, 1), f"exit {done.returncode}: {done.stderr}"
    report = json.loads(done.stdout)
    judged = Judged(
        report["verdict"], report["grid"]["verdict"], report["vehicle"]["verdict"], report["todo"],
        done.stdout + done.stderr,
    )
    assert {judged.verdict, judged.grid, judged.vehicle} <= set(VERDICTS), judged
    assert (done.returncode == 0) == (judged.verdict == "inside"), f"exit {done.returncode} with {judged.verdict}"
    if judged.verdict == "inside":
        assert (judged.grid, judged.vehicle) == ("inside", "inside"), judged
        assert not any(task.get("must") for task in judged.todo), judged
    return judged


@dataclass(frozen=True)
class Spoiled:
    """A mark, or the whole grid, that lay well and was to be moved further off; in tolerances."""

    what: str
    before: float
    after: float


class Technician:
    """One pair of hands with one floor and one form."""

    def __init__(self, dice, bay, floor, tape, misread=None, ignores_wheels=False):
        self.dice, self.bay, self.floor = dice, bay, floor
        self.reader = Reader(dice, tape)
        self.misread, self.ignores_wheels = misread, ignores_wheels
        self.form = Form(list(bay.form.rows))
        self.readings = 0
        self.spoiled = []
        self.round = 0

    def tape_all(self):
        """Fills the blank form, lay by lay."""
        for index, row in enumerate(self.form.rows):
            if not (row.of_wheel and self.ignores_wheels):
                slip = self.misread if self.misread and self.misread.row == index else None
                self.take(index, slip)

    def take(self, index, slip=None):
        """Reads a row. What is read of one lay in one round is read without setting the tape anew."""
        row = self.form.rows[index]
        value = self.reader.read(self.floor, row, (self.round, row.lay))
        self.form.write(index, str(round(slip.of(value) if slip else value)))
        self.readings += 1

    def obey(self, todo):
        """Moves first, then everything that is to be taped."""
        hands = {"move": self.move, "turn_grid": self.turn_grid, "plumb": self.plumb}
        tapes = {"tape": self.tape, "retape": self.retape}
        unknown = {task["kind"] for task in todo} - set(hands) - set(tapes)
        assert not unknown, f"nobody knows how to do {unknown}"
        self.round += 1
        for task in todo:
            if task["kind"] in hands:
                hands[task["kind"]](task)
        # What is asked twice in one list is done once.
        for task in [task for index, task in enumerate(todo) if task not in todo[:index]]:
            if task["kind"] in tapes:
                row = Row.asked(self.form.next_lay(), task["from"], task["to"])
                if not (self.ignores_wheels and row.of_wheel):
                    tapes[task["kind"]](row)

    def move(self, task):
        mark, by = task["mark"], np.array([task["forward_mm"], task["left_mm"]])
        told = self.floor.places[mark] + by
        before, after = self.floor.beyond(mark), self.floor.beyond(mark, told)
        if before <= WELL_PLACED and after > before:
            self.spoiled.append(Spoiled(mark, before, after))
        self.floor.places[mark] = told + self.by_hand()

    def turn_grid(self, task):
        told = self.floor.shifted(task["forward_mm"], task["left_mm"], task["turned_deg"])
        before, after = self.floor.worst(), self.floor.worst(told)
        if before <= WELL_PLACED and after > before:
            self.spoiled.append(Spoiled("whole grid", before, after))
        self.floor.places = {mark: at + self.by_hand() for mark, at in told.items()}

    def by_hand(self):
        return self.dice.normal(0, MOVED_MM, 2)

    def plumb(self, task):
        self.floor.plumb(self.dice, task["wheel"])

    def tape(self, asked):
        """Reads a pair once more: into a row that is still blank, else into a new one at the form's end."""
        for index, row in enumerate(self.form.rows):
            if row.is_of(asked.start, asked.end) and not row.filled:
                return self.take(index)
        self.form.rows.append(asked)
        return self.take(len(self.form.rows) - 1)

    def retape(self, asked):
        """Writes a new reading in place of what stands beside the pair."""
        rows = [index for index, row in enumerate(self.form.rows) if row.is_of(asked.start, asked.end)]
        assert rows, f"asked to tape {asked.start} to {asked.end} again, which no row has"
        for index in rows:
            self.form.write(index, "")
        return self.take(rows[-1])


@dataclass
class Story:
    """How one floor came out."""

    seed: int
    mishaps: Mishaps
    laid: float
    """the worst mark as laid, in tolerances"""
    checks: list = field(default_factory=list)
    """what each check said"""
    worst: float = 0.0
    """the worst mark in the end, in tolerances"""
    readings: int = 0
    spoiled: list = field(default_factory=list)
    kept_limits: bool = False
    fault: str = ""
    """what broke the contract, if anything did"""

    @property
    def inside(self):
        return bool(self.checks) and self.checks[-1].verdict == "inside"

    def inside_after(self, checks):
        return self.inside and len(self.checks) <= checks

    @property
    def stuck(self):
        """Not inside, and nothing was asked."""
        return bool(self.checks) and not self.inside and not self.checks[-1].todo


def dice_of(bay, seed, purpose):
    """Chance of its own for each floor: the same number gives the same floor, whatever else is run."""
    return np.random.default_rng([zlib.crc32(bay.case.id.encode()), zlib.crc32(purpose.encode()), seed])


def play(bay, seed, mishaps=None, purpose="floors", checks=CHECKS, ignores_wheels=False, judge=judge, tell=None):
    """One floor from laying to the last check. Without `mishaps` they are drawn as shops have them."""
    dice = dice_of(bay, seed, purpose)
    drawn = Mishaps.drawn(dice, bay.layout, bay.form.rows)
    mishaps = drawn if mishaps is None else mishaps
    laying = Tape.drawn(dice)
    taping = laying if dice.random() < FLOORS_CHECKED_WITH_THE_LAYING_TAPE else Tape.drawn(dice)
    floor = LaidFloor.laid(dice, bay.layout, laying, mishaps)
    hand = Technician(dice, bay, floor, taping, mishaps.misread, ignores_wheels)
    story = Story(seed, mishaps, floor.worst())
    hand.tape_all()
    story.kept_limits = keeps_limits(hand.form)
    try:
        rounds(story, hand, checks, judge, tell)
    except (AssertionError, KeyError, ValueError) as fault:
        story.fault = f"{type(fault).__name__}: {fault}"
    story.worst, story.readings, story.spoiled = floor.worst(), hand.readings, hand.spoiled
    return story


def rounds(story, hand, checks, judge, tell):
    """Check, obey, check again."""
    for _ in range(checks):
        judged = judge(hand.bay.case, hand.form)
        story.checks.append(judged)
        if tell:
            tell(hand.form, hand.floor, judged)
        if judged.verdict == "inside" or len(story.checks) == checks:
            return
        hand.obey(judged.todo)


def keeps_limits(form):
    """Whether every reading lies within the limit printed beside it."""
    return all(
        abs(float(row.reading) - float(row.should_be or 0)) <= float(row.limit)
        for row in form.rows if row.filled and row.limit
    )


if __name__ == "__main__":
    import technician_table

    raise SystemExit(technician_table.main())
