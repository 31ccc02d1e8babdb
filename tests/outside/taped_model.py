"""Which mistake explains taped distances: every one that a sheet allows is fitted by least squares, and the best is told.

Marks lie at their designed places but for the mistakes; a mistake is a mark off along an axis, a station off along
the vehicle, the grid turned about its origin, or a misread distance. x forward, y left, mm. Nothing here knows how
the program judges readings.
"""

import itertools
import re
from dataclasses import dataclass

import numpy as np
from scipy import stats

# Another explanation with as many mistakes fits worse by at least this much in the sum of squares, and so does one with
# fewer: four standard deviations.
MARGIN = 16.0

# One faultless sheet in a million is taken for a faulty one by the sum of squares, about one in three thousand by its
# largest residual, in standard deviations.
ACCEPTED = 1 - 1e-6
LARGEST = 4.5

STEPS = 6

# Keeps a mistake that no reading can show from making the equations singular.
RIDGE = 1e-9


@dataclass(frozen=True)
class Explanation:
    """Marks with how far they lie off, indices of misread distances, degrees of turn counter-clockwise."""

    sorts: tuple
    moved: dict
    misread: tuple
    turned: float
    squares: float


class Taped:
    """Readings of a sheet: places by name (those beginning with W stay with the vehicle), rows of (from, to, read), and
    the least and largest standard deviation of a reading; what they are rounded to. All in mm."""

    def __init__(self, places, rows, deviations, step=1.0):
        self.names = sorted({name for row in rows for name in row[:2]})
        self.at = np.array([places[name] for name in self.names], float)
        index = {name: place for place, name in enumerate(self.names)}
        self.ends = np.array([[index[a], index[b]] for a, b, _ in rows])
        self.read = np.array([read for *_, read in rows], float)
        lengths = np.hypot(*(self.at[self.ends[:, 0]] - self.at[self.ends[:, 1]]).T)
        # The deviation of a tape grows with its length; the ends of its range are printed.
        share = (lengths - lengths.min()) / max(np.ptp(lengths), 1.0)
        rounding = 2 * step**2 / 12
        self.variance = (deviations[0] + (deviations[1] - deviations[0]) * share) ** 2 + rounding
        self.fields = []

    def allow(self, sorts):
        """Makes the mistakes that a sheet names possible: "mark", "station", "turned"."""
        grid = [place for place, name in enumerate(self.names) if not name.startswith("W")]
        for place, axis in itertools.product(grid, (0, 1)):
            self._field(("mark", self.names[place], axis), [place], axis)
        if "station" in sorts:
            stations = {}
            for place in grid:
                if found := re.match(r"\d+", self.names[place]):
                    stations.setdefault(found[0], []).append(place)
            for name, places in stations.items():
                if len(places) > 1:
                    self._field(("station", name, 0), places, 0)
        if "turned" in sorts:
            field = np.zeros_like(self.at)
            field[grid] = np.column_stack([-self.at[grid, 1], self.at[grid, 0]]) / 1000.0
            self.fields.append((("turned", "", 0), field))
        return self

    def _field(self, name, places, axis):
        field = np.zeros_like(self.at)
        field[places, axis] = 1.0
        self.fields.append((name, field))

    def fitted(self, chosen, left_out):
        """Sums of squares, sizes of mistakes and largest residuals, in standard deviations, for many choices at once: indices
        of fields (B, K) and of distances left out (B, L)."""
        chosen = np.asarray(chosen, int)
        count, known = chosen.shape
        weights = np.tile(1 / self.variance, (count, 1))
        left_out = np.asarray(left_out, int)
        weights[np.arange(count)[:, None], left_out] = 0.0
        fields = np.array([field for _, field in self.fields]) if self.fields else np.zeros((0, *self.at.shape))
        sizes = np.zeros((count, known))
        for step in range(STEPS + 1):
            offset = np.einsum("bk,bkmc->bmc", sizes, fields[chosen]) if known else np.zeros((count, *self.at.shape))
            at = self.at + offset
            between = at[:, self.ends[:, 0]] - at[:, self.ends[:, 1]]
            length = np.sqrt((between**2).sum(axis=2))
            rest = self.read - length
            if step == STEPS or not known:
                break
            slopes = fields[chosen][:, :, self.ends[:, 0]] - fields[chosen][:, :, self.ends[:, 1]]
            design = np.einsum("bknc,bnc->bkn", slopes, between) / length[:, None]
            normal = np.einsum("bkn,bn,bln->bkl", design, weights, design) + RIDGE * np.eye(known)
            right = np.einsum("bkn,bn,bn->bk", design, weights, rest)
            sizes = sizes + np.linalg.solve(normal, right[..., None])[..., 0]
        squares = weights * rest**2
        return squares.sum(axis=1), sizes, np.sqrt(squares.max(axis=1))

    def candidates(self, count, readings):
        """All choices of `count` mistakes: (fields, distances)."""
        fields, pulls = range(len(self.fields)), range(len(self.read) if readings else 0)
        for misread in range(count + 1):
            pairs = itertools.combinations(fields, count - misread)
            # A mark that lies off does so along one axis only.
            pairs = [pair for pair in pairs if len({self.fields[one][0][:2] for one in pair}) == len(pair)]
            yield list(itertools.product(pairs, itertools.combinations(pulls, misread)))

    def explained(self, most, readings):
        """The explanation with the fewest mistakes, up to `most`, that fits; it has to be the only one."""
        rejected = np.inf
        for count in range(most + 1):
            found = []
            for choices in self.candidates(count, readings):
                if choices:
                    squares, sizes, largest = self.fitted([fields for fields, _ in choices], [pulls for _, pulls in choices])
                    order = np.argsort(squares)[:3]
                    found += [(squares[at], choices[at], sizes[at], largest[at]) for at in order]
            found.sort(key=lambda one: one[0])
            best = found[0]
            if best[0] < stats.chi2.ppf(ACCEPTED, len(self.read) - count) and best[3] < LARGEST:
                assert rejected - best[0] > MARGIN, f"fewer mistakes fit nearly as well: {rejected} and {best[0]}"
                for other in found[1:2]:
                    assert other[0] - best[0] > MARGIN, f"{self._said(best)} and {self._said(other)} both fit: {best[0]}, {other[0]}"
                return self._explanation(best)
            rejected = best[0]
        raise AssertionError(f"no explanation with up to {most} mistakes fits: {rejected}")

    def _said(self, found):
        _, (fields, pulls), sizes, _ = found
        return [self.fields[one][0] for one in fields], [[self.names[end] for end in self.ends[pull]] for pull in pulls], sizes

    def _explanation(self, found):
        squares, (fields, pulls), sizes, _ = found
        moved, turned, sorts = {}, 0.0, ["reading"] * len(pulls)
        for one, size in zip(fields, sizes):
            (sort, name, axis), field = self.fields[one]
            sorts.append(sort)
            if sort == "turned":
                turned = float(np.degrees(size / 1000.0))
            else:
                for place in np.flatnonzero(field.any(axis=1)):
                    moved[self.names[place]] = tuple(field[place] * size)
        return Explanation(tuple(sorted(sorts)), moved, pulls, turned, squares)
