"""Networks of marks and readings: written as readings/1 for the binary, and adjusted a second time by textbook.

The second opinion shares nothing with the program. The minimum is found by `scipy.optimize.least_squares`; the design
matrix comes from complex steps through the plain formulas, so that no derivative is worked out by hand; covariances
are pseudo-inverses, which for a free network are those of inner constraints. Everything is in mm.
"""

import functools
import json
import os
import tempfile
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
from scipy import stats
from scipy.optimize import least_squares

import kit

# Baarda's α = 0.001 two-sided and power 80 %: δ0 = 4.132148 (reference: computed with scipy; 80 % read in the books).
DELTA = stats.norm.ppf(1 - 0.001 / 2) + stats.norm.ppf(0.80)
CRITICAL = stats.norm.ppf(1 - 0.001 / 2)

# Eigenvalues of AᵀPA below this part of the largest belong to what the datum has to hold.
NULL_PART = 1e-9


@dataclass(frozen=True)
class Reading:
    """`kind` is distance (from, to), offset (mark, a, b), inline (a, mark, b), x or y (mark)."""

    kind: str
    marks: tuple
    value: float
    sigma: float

    def computed(self, places):
        """What it would be with the marks at `places` (name → complex or real pair)."""
        return formula(self.kind, [places[mark] for mark in self.marks])


def formula(kind, points):
    """What is read at points, given as (x, y) each: numbers, real or complex, or arrays of them."""
    if kind == "distance":
        (ax, ay), (bx, by) = points
        return np.sqrt((bx - ax) ** 2 + (by - ay) ** 2)
    if kind in "xy":
        return points[0]["xy".index(kind)]
    (mx, my), (ax, ay), (bx, by) = points if kind == "offset" else (points[1], points[0], points[2])
    return ((bx - ax) * (my - ay) - (by - ay) * (mx - ax)) / np.sqrt((bx - ax) ** 2 + (by - ay) ** 2)


@dataclass
class Network:
    """Marks by name with where they are said to be, those that are fixed, and readings in the order of the file."""

    marks: dict
    readings: list
    fixed: set = field(default_factory=set)
    tolerance: float | None = None

    def toml(self):
        """The network as a file of readings; repr of a float is exact."""
        lines = ['format = "readings/1"', ""]
        for name, (x, y) in self.marks.items():
            lines += ["[[mark]]", f'id = "{name}"', f"x = {float(x)!r}", f"y = {float(y)!r}"]
            lines += ["fixed = true"] * (name in self.fixed)
            lines += [f"tolerance = {self.tolerance!r}"] * (self.tolerance is not None)
        return "\n".join(lines) + "\n" + readings_toml(self.readings)

    def checked(self):
        """What the binary says of it."""
        return checked(self.toml())

    def without(self, indices):
        """The network without some of its readings."""
        return replace(self, readings=[r for i, r in enumerate(self.readings) if i not in indices])


def readings_toml(readings):
    """Readings as TOML tables, in their order."""
    lines = []
    for one in readings:
        names = [f'"{name}"' for name in one.marks]
        if one.kind == "distance":
            lines += ["[[reading]]", f"from = {names[0]}", f"to = {names[1]}", f"distance = {float(one.value)!r}"]
        elif one.kind == "offset":
            lines += ["[[offset]]", f"mark = {names[0]}", f"line = [{names[1]}, {names[2]}]", f"distance = {float(one.value)!r}"]
        else:
            lines += ["[[inline]]", f"marks = [{', '.join(names)}]"]
        lines.append(f"sigma = {float(one.sigma)!r}")
    return "\n".join(lines) + "\n"


def checked(text, *arguments, suffix=".toml"):
    """The JSON that `check` prints for a file with this text; exit code 1 still comes with a report."""
    shared = os.environ.get(kit.FOLDER_VARIABLE)
    with tempfile.TemporaryDirectory(dir=shared) as folder:
        path = Path(folder) / f"readings{suffix}"
        path.write_text(text, encoding="utf-8")
        done = kit.run("check", path, "--json", *arguments)
    assert done.returncode in (0, 1) and done.stdout, f"exit {done.returncode}\n{done.stderr}"
    found = json.loads(done.stdout)
    found["exit"] = done.returncode
    return found


class Adjusted:
    """The second opinion on a network. `true` are places near the minimum, where the search begins."""

    def __init__(self, network, true):
        self.network = network
        self.names = [name for name in network.marks if name not in network.fixed]
        self.column = {name: 2 * index for index, name in enumerate(self.names)}
        self.weights = np.array([1 / one.sigma for one in network.readings])
        values = np.array([one.value for one in network.readings])
        unknowns = np.array([true[name] for name in self.names], float).ravel()
        found = least_squares(
            lambda x: (self.computed(x) - values) * self.weights, unknowns, jac=lambda x: self.design(x) * self.weights[:, None],
            xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale=1000.0, max_nfev=200,
        ).x
        # What is left of the steps is numerical noise of the search's end; in mm it is far below any tolerance here.
        for _ in range(2):
            rows = self.design(found) * self.weights[:, None]
            step = np.linalg.lstsq(rows, (values - self.computed(found)) * self.weights, rcond=np.sqrt(NULL_PART))[0]
            found = found + step
        assert np.abs(step).max() < 1e-5, "the second opinion has not settled"
        self.unknowns = self.as_near_as_can_be(found)
        self.conclude(values)

    def places(self, unknowns):
        places = {name: self.network.marks[name] for name in self.network.fixed}
        return places | {name: unknowns[column:column + 2] for name, column in self.column.items()}

    @functools.cached_property
    def by_kind(self):
        """For each kind of reading: their indices, and the marks' indices among the fixed ones and the unknowns."""
        index = {name: at for at, name in enumerate([*self.network.fixed, *self.names])}
        kinds = {}
        for at, one in enumerate(self.network.readings):
            kinds.setdefault(one.kind, []).append((at, [index[name] for name in one.marks]))
        return {kind: tuple(map(np.array, zip(*rows))) for kind, rows in kinds.items()}

    def computed(self, unknowns):
        """The readings that places give; of several sets of unknowns, a row for each."""
        fixed = np.array([self.network.marks[name] for name in self.network.fixed], float).reshape(-1, 2)
        sets = unknowns.shape[:-1]
        places = np.concatenate([np.broadcast_to(fixed, (*sets, *fixed.shape)), unknowns.reshape(*sets, -1, 2)], axis=-2)
        values = np.empty((*sets, len(self.network.readings)), places.dtype)
        for kind, (rows, marks) in self.by_kind.items():
            values[..., rows] = formula(kind, [(places[..., one, 0], places[..., one, 1]) for one in marks.T])
        return values

    def design(self, unknowns):
        """∂f/∂x by complex steps: exact to the last digit, whatever the formula."""
        return self.computed(unknowns + 1e-30j * np.eye(len(unknowns))).imag.T / 1e-30

    def loose(self, unknowns):
        """How many movements of the whole no reading hinders."""
        rows = self.design(unknowns) * self.weights[:, None]
        values = np.linalg.eigvalsh(rows.T @ rows)
        return int((values < NULL_PART * values[-1]).sum())

    def as_near_as_can_be(self, unknowns):
        """A free network moved as a whole so that the squares of the distances to the given places are least; one with
        a single fixed mark, and nothing else that holds its heading, turned about that mark."""
        loose = self.loose(unknowns)
        if loose == 0:
            return unknowns
        assert (loose, len(self.network.fixed)) in {(3, 0), (1, 1)}, "not held by more than a datum"
        given = np.array([complex(*self.network.marks[name]) for name in self.names])
        found = unknowns[0::2] + 1j * unknowns[1::2]
        if loose == 3:
            pivots = given.mean(), found.mean()
        else:
            pivots = (complex(*self.network.marks[next(iter(self.network.fixed))]),) * 2
        turn = np.vdot(found - pivots[1], given - pivots[0])
        found = (found - pivots[1]) * turn / abs(turn) + pivots[0]
        return np.array([found.real, found.imag]).T.ravel()

    def conclude(self, values):
        rows = self.design(self.unknowns) * self.weights[:, None]
        normal = rows.T @ rows
        self.rank = len(normal) - self.loose(self.unknowns)
        self.cofactors = np.linalg.pinv(normal, rcond=NULL_PART, hermitian=True)
        self.residuals = self.computed(self.unknowns) - values
        self.squares = float(((self.residuals * self.weights) ** 2).sum())
        self.dof = len(values) - self.rank
        self.sigma0 = np.sqrt(self.squares / self.dof) if self.dof else None
        sigma = 1 / self.weights
        self.redundancy = 1 - np.einsum("ij,jk,ik->i", rows, self.cofactors, rows)
        with np.errstate(divide="ignore", invalid="ignore"):
            self.w = self.residuals / (sigma * np.sqrt(self.redundancy))
            self.mdb = sigma * DELTA / np.sqrt(self.redundancy)

    def place(self, name):
        return self.places(self.unknowns)[name]

    def covariance(self, name):
        if name in self.network.fixed:
            return np.zeros((2, 2))
        column = self.column[name]
        return self.cofactors[column:column + 2, column:column + 2]

    def bounds(self):
        """Of the global test: 95 %, half of the rest on either side."""
        return stats.chi2.ppf([0.025, 0.975], self.dof)


def ellipse(covariance, squared):
    """Half-axes and direction (degrees, modulo 180) of the ellipse dᵀC⁻¹d = `squared`."""
    values, vectors = np.linalg.eigh(covariance)
    major, minor = np.sqrt(np.maximum(values[::-1], 0) * squared)
    return major, minor, np.degrees(np.arctan2(vectors[1, 1], vectors[0, 1])) % 180
