"""The fewest cells over strips that cross like streets, for cells at any real position: no grid of positions.

The strips are straight runs square to the vehicle, and far enough apart that no cell holds two crossings, nor
touches two runs that do not cross (`Network` refuses others). Then a cell that covers a piece of the runs does one of
two things:

* It holds a crossing. It covers there as much along each of the two runs as its sides are long; how its sides are
  split to the four directions is free. Of all cells that hold one crossing only those count that reach farthest in
  some direction, so as many as there are arms are enough to think of.
* It holds none. Then it lies on one stretch between crossings, or between a crossing and a free end, and covers at
  most the long side of a cell of it.

So a stretch of length L whose ends are reached for r and s needs n cells with r + s + n · long ≥ L, and that is also
enough. The number of cells at a crossing, their headings and n are whole numbers, the reaches are not: HiGHS solves
that as it stands.

Strips have a width. For the lower bound each run gives one line of its core, without any width: covering that is part
of covering the core. Where two lines meet, a cell that touches both holds the point where they do. At a corner the
outer edges are taken, which do not meet: a cell that touches both reaches over the corner to both edges, and where
there is none, each line is covered from its end by cells of its own. For the upper bound each crossing lies in one
cell, to the full width of both cores: such an answer can be laid.
"""

from itertools import combinations

import numpy as np
from scipy.optimize import Bounds, LinearConstraint
from scipy.sparse import coo_array

from cover_model import (
    MARK_HALF_MM, ROUNDING_MM, SOLVER_SLACK_MM, fit_one_cell, least_on_grid, mark_square, most_on_grid, solved, strip_half,
)

X, Y = 0, 1

# Grid for marks that stand alone: fine, for there are few of them.
POINTS_STEP_MM = 5.0


class NotStreets(ValueError):
    """The layout is none that this file has an answer for."""


class Run:
    """Collinear strips that touch: axis, place across it, from, to, and half the width of the core."""

    def __init__(self, axis, at, low, high, half):
        self.axis, self.at, self.low, self.high, self.half = axis, at, low, high, half

    def crop(self, place, half):
        """Leaves out an end that goes on within half the width of a run that is crossed at a place: what holds the
        crossing to its full width holds that end."""
        if abs(place - self.low) <= half + ROUNDING_MM:
            self.low = place
        if abs(place - self.high) <= half + ROUNDING_MM:
            self.high = place

    def end(self, which):
        """The floor point where it starts (0) or ends (1)."""
        along = (self.low, self.high)[which]
        return (along, self.at) if self.axis == X else (self.at, along)

    def bounds(self):
        along, across = (self.low, self.high), (self.at - self.half, self.at + self.half)
        (x0, x1), (y0, y1) = (along, across) if self.axis == X else (across, along)
        return x0, y0, x1, y1


class Network:
    """The runs of an instance and their crossings."""

    def __init__(self, instance):
        self.long, self.short = instance.long, instance.short
        if instance.panels:
            raise NotStreets("panels")
        self.runs = joined([run_of(*strip) for strip in instance.strips])
        if not self.runs:
            raise NotStreets("no strips")
        self.alone = []
        for at in instance.marks:
            if not any(touches(run.bounds(), at) for run in self.runs):
                self.alone.append(mark_square(at))
                if any(fit_one_cell(run.bounds(), mark_square(at).bounds, self.long, self.short) for run in self.runs):
                    raise NotStreets(f"one sheet may show the mark at {at} with a strip")
        # Crossing: index of the run along x, of the one along y, and the floor point.
        self.crossings = []
        for (i, one), (j, other) in combinations(enumerate(self.runs), 2):
            (p, along), (q, across) = ((i, one), (j, other)) if one.axis == X else ((j, other), (i, one))
            if along.axis != across.axis and between(along, across.at) and between(across, along.at):
                self.crossings.append((p, q, (across.at, along.at)))
            elif fit_one_cell(one.bounds(), other.bounds(), self.long, self.short):
                raise NotStreets("two strips so close that one sheet may show both, and no crossing of theirs")
        for p, q, place in self.crossings:
            self.runs[p].crop(place[X], self.runs[q].half)
            self.runs[q].crop(place[Y], self.runs[p].half)
        self.marks = instance.marks
        for index, run in enumerate(self.runs):
            at = sorted(place[run.axis] for p, q, place in self.crossings if index in (p, q))
            if any(b - a <= self.long + ROUNDING_MM for a, b in zip(at, at[1:])):
                raise NotStreets("two crossings so close that one sheet may show both")

    def least(self):
        """A number of cells that is not enough to go below."""
        alone = least_on_grid(self.alone, self.long, self.short, POINTS_STEP_MM) if self.alone else 0
        return alone + self._fewest(self.long, self._meeting)

    def most(self):
        """A number of cells that is enough."""
        alone = most_on_grid(self.alone, self.long, self.short, POINTS_STEP_MM) if self.alone else 0
        return alone + self._fewest(self.long - SOLVER_SLACK_MM, self._holding)

    def _holding(self, number):
        """What a cell has to reach in each direction to hold a crossing to its full width; and that one has to."""
        p, q, _ = self.crossings[number]
        half = {X: self.runs[q].half, Y: self.runs[p].half}
        return {(axis, sign): half[axis] for axis in (X, Y) for sign in (-1, 1)}, True

    def _meeting(self, number):
        """What a cell reaches in each direction at least when it touches both lines, and whether one has to."""
        p, q, place = self.crossings[number]
        line = {X: self._line(q), Y: self._line(p)}
        least = {(axis, sign): sign * line[axis] for axis in (X, Y) for sign in (-1, 1)}
        met = True
        for run, axis in ((self.runs[p], X), (self.runs[q], Y)):
            met &= between(run, place[axis] + line[axis])
            arms = self._arms(number, run)
            if len(arms) == 1:
                # To touch a line that ends here, a cell must not end before.
                least[arms[0]] = max(least[arms[0]], 0.0)
        # A run that goes on here could pass by: then its line is none of the two above.
        assert met or len(self._arms(number, self.runs[p])) == len(self._arms(number, self.runs[q])) == 1
        return least, met

    def _line(self, index):
        """Which line of a run's core is asked for, from its middle: the edge to which all its corners point."""
        run = self.runs[index]
        sides = set()
        for number, (p, q, _) in enumerate(self.crossings):
            if index in (p, q):
                other = self.runs[q if index == p else p]
                away = [sign for _, sign in self._arms(number, other)]
                corner = len(self._arms(number, run)) == 1
                if len(away) == 1:
                    # The edge away from the other run at a corner; the one that a branch meets elsewhere.
                    sides.add(-away[0] if corner else away[0])
        return run.half * sides.pop() if len(sides) == 1 else 0.0

    def _arms(self, number, run):
        """The directions in which a run goes on from a crossing: (axis, -1 down or +1 up the axis)."""
        at = self.crossings[number][2][run.axis]
        lengths = {-1: at - run.low, 1: run.high - at}
        return [(run.axis, sign) for sign, length in lengths.items() if length > ROUNDING_MM]

    def _is_mark(self, at):
        return any(np.hypot(at[0] - x, at[1] - y) < ROUNDING_MM for x, y in self.marks)

    def _fewest(self, long, demands):
        short = self.short - (self.long - long)
        model = Programme()
        reach = {}
        for number, (p, q, _) in enumerate(self.crossings):
            arms = self._arms(number, self.runs[p]) + self._arms(number, self.runs[q])
            found = crossing(model, arms, *demands(number), long, short)
            reach |= {(number, arm): variable for arm, variable in found.items()}
        for index, run in enumerate(self.runs):
            along = [(place[run.axis], number) for number, (p, q, place) in enumerate(self.crossings) if index in (p, q)]
            stops = [(run.low, None), *sorted(along), (run.high, None)]
            for (low, below), (high, above) in zip(stops, stops[1:]):
                if high - low <= ROUNDING_MM and along:
                    continue
                cells = model.variable(0, np.ceil((high - low) / long) + 2, whole=1, cost=1)
                ends = [reach[number, (run.axis, sign)] for number, sign in ((below, 1), (above, -1)) if number is not None]
                # The square about the mark at a free end goes on past it, beside the strip's middle at least.
                marked = sum(number is None and self._is_mark(run.end(which)) for which, number in enumerate((below, above)))
                free = MARK_HALF_MM * marked if demands == self._holding or not self._line(index) else 0.0
                model.at_least({cells: long, **dict.fromkeys(ends, 1.0)}, high - low + free - ROUNDING_MM)
        return model.solved()


def crossing(model, arms, least, needed, long, short):
    """Cells at a crossing, as many as it has arms at most: arm → variable of how far it is reached."""
    slots = []
    for slot in range(len(arms)):
        used = model.variable(1 if needed and slot == 0 else 0, 1, whole=1, cost=1)
        lying = model.variable(0, 1, whole=1)
        model.at_least({used: 1, lying: -1}, 0)
        if slots:
            model.at_least({slots[-1][0]: 1, used: -1}, 0)
        split = {way: model.variable(min(0.0, low), 2 * long) for way, low in least.items()}
        for axis, (first, second) in ((X, (short, long)), (Y, (long, short))):
            # Both parts together are one side of the cell, where the cell is used: `first` upright, `second` lying.
            model.at_least({used: first, lying: second - first, split[axis, -1]: -1, split[axis, 1]: -1}, 0)
        for way, variable in split.items():
            model.at_least({variable: 1, used: -least[way]}, 0)
        slots.append((used, split))
    reach = {}
    for arm in arms:
        reach[arm] = model.variable(min(0.0, least[arm]), 2 * long)
        chosen = [model.variable(0, 1, whole=1) for _ in slots]
        model.at_least(dict.fromkeys(chosen, 1), 1)
        for choice, (used, split) in zip(chosen, slots):
            # The arm is reached as far as the cell that was chosen for it reaches; from its end, where there is none.
            model.at_least({split[arm]: 1, reach[arm]: -1, choice: -2 * long}, -2 * long)
            if needed:
                model.at_least({used: 1, choice: -1}, 0)
    return reach


class Programme:
    """A linear programme that is being written down."""

    def __init__(self):
        self.costs, self.low, self.high, self.whole, self.rows, self.right = [], [], [], [], [], []

    def variable(self, low, high, whole=0, cost=0):
        for values, value in ((self.costs, cost), (self.low, low), (self.high, high), (self.whole, whole)):
            values.append(value)
        return len(self.costs) - 1

    def at_least(self, terms, right):
        self.rows.append(terms)
        self.right.append(right)

    def solved(self):
        entries = [(factor, row, column) for row, terms in enumerate(self.rows) for column, factor in terms.items()]
        factors, rows, columns = map(np.array, zip(*entries))
        matrix = coo_array((factors, (rows, columns)), shape=(len(self.rows), len(self.costs))).tocsc()
        limits = LinearConstraint(matrix, lb=self.right)
        return solved(np.array(self.costs, float), [limits], Bounds(self.low, self.high), np.array(self.whole))


def run_of(start, end, width):
    """A strip as a run."""
    for axis in (X, Y):
        if abs(start[1 - axis] - end[1 - axis]) < ROUNDING_MM:
            low, high = sorted((start[axis], end[axis]))
            return Run(axis, start[1 - axis], low, high, strip_half(width))
    raise NotStreets("a slanting strip")


def joined(runs):
    """Runs with those made one that touch on one straight."""
    out = []
    for run in sorted(runs, key=lambda run: (run.axis, run.at, run.low)):
        last = out[-1] if out else None
        same = last and last.axis == run.axis and abs(last.at - run.at) < ROUNDING_MM
        if same and run.low <= last.high + ROUNDING_MM:
            if last.half != run.half:
                raise NotStreets("strips of two widths on one straight")
            last.high = max(last.high, run.high)
        else:
            out.append(run)
    return out


def between(run, at):
    return run.low - ROUNDING_MM <= at <= run.high + ROUNDING_MM


def touches(bounds, at):
    x0, y0, x1, y1 = bounds
    return x0 - ROUNDING_MM <= at[0] <= x1 + ROUNDING_MM and y0 - ROUNDING_MM <= at[1] <= y1 + ROUNDING_MM
