"""The cover problem in numbers of its own, solved by HiGHS: how few cells cover the cores of a layout?

A sheet's window is what its page can show; its cell is the window less half an overlap on every side. Cells lie
square to the vehicle, either way round, anywhere. They have to cover the cores: the tape strips from mark to mark, at
least as wide as a mark, the panels' convex parts, and a square of 10 mm about each mark.

Whatever is not said to be an upper bound here may only err downwards, and the other way round:

* `least_on_grid(step)` enlarges every cell by one step and places it on a grid of that step. A cell at any real
  position lies wholly inside the enlarged one at the grid position next below it, so a real cover turns into one of
  this model with as many cells: its optimum is a lower bound. Asking for some points of the cores only keeps it one.
* `most_on_grid(step)` places true cells on a grid and where their edges meet those of cores. Between two neighbouring
  edges of any cells nothing changes, so one point of each such piece of a core stands for the piece: what covers
  the points covers the cores. A solution can be laid, so its number is an upper bound.
* `Network` answers for strips that cross like streets, without any grid; see there.
"""

from functools import cache, cached_property
from itertools import combinations, product

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array, csc_array
from shapely import set_precision, unary_union, wkb
from shapely.affinity import translate
from shapely.geometry import MultiPoint, Polygon, box

from floor import middle

# What rounding of decimal text may do to a length, mm.
ROUNDING_MM = 1e-6

# Half side of the square about a mark that sheets have to show, mm: the circle of 6 mm and a little of the cross.
MARK_HALF_MM = 5.0

# What HiGHS may take for satisfied, times the largest number in a row, stays below this, mm. Upper bounds are sought
# with cells smaller by as much, so that they can be laid in fact.
SOLVER_SLACK_MM = 0.01


class Instance:
    """Cores and the sizes of a cell, from what a kit says of itself; floor axes, mm."""

    def __init__(self, plan, sheets):
        paper, margins, self.overlap = sheets["paper"], sheets["margins_mm"], sheets["overlap_mm"]
        width = paper["width_mm"] - margins["left"] - margins["right"] - self.overlap
        height = paper["height_mm"] - margins["top"] - margins["bottom"] - self.overlap
        self.long, self.short = max(width, height), min(width, height)
        marks = {mark["id"]: (mark["x_mm"], mark["y_mm"]) for mark in plan["marks"]}
        self.strips = [(*middle(marks, line), line["width_mm"]) for line in plan["lines"]]
        self.panels = [part for panel in plan["panels"] for part in convex_parts(panel)]
        self.marks = list(marks.values())

    @cached_property
    def cores(self):
        """Convex shapes."""
        shapes = [strip_core(*strip) for strip in self.strips] + self.panels
        # A mark on another core is covered with it.
        rest = unary_union([shape.buffer(ROUNDING_MM) for shape in shapes])
        return shapes + [square for square in map(mark_square, self.marks) if not rest.contains(square)]

    def components(self):
        """Cores in groups; no cell touches cores of two groups, so each group is a problem of its own."""
        cores = self.cores
        owner = list(range(len(cores)))

        def root(index):
            while owner[index] != index:
                index = owner[index]
            return index

        for one, other in combinations(range(len(cores)), 2):
            if fit_one_cell(cores[one].bounds, cores[other].bounds, self.long, self.short):
                owner[root(one)] = root(other)
        groups = {}
        for index, core in enumerate(cores):
            groups.setdefault(root(index), []).append(core)
        return list(groups.values())


def convex_parts(panel):
    """The panel's convex parts: itself, or the two bars of a cross."""
    whole = unary_union([Polygon(field["outline_mm"]) for field in panel["fields"]])
    hull = whole.convex_hull
    if whole.area > hull.area * (1 - ROUNDING_MM):
        return [hull]
    # The eight outer corners of a cross, four arms' ends of two; its hull has them all, in their order.
    corners = list(hull.exterior.coords)[:-1]
    assert len(corners) == 8, "a panel that is neither convex nor a cross"
    ends = [(corners[i], corners[(i + 1) % 8]) for i in range(8)]
    arms = [pair for pair in ends if whole.exterior.distance(MultiPoint(pair).centroid) < ROUNDING_MM]
    return [MultiPoint([*arms[k], *arms[k + 2]]).convex_hull for k in (0, 1)]


def mark_square(at):
    """The square about a mark."""
    return box(at[0] - MARK_HALF_MM, at[1] - MARK_HALF_MM, at[0] + MARK_HALF_MM, at[1] + MARK_HALF_MM)


def strip_half(width):
    """Half the width of a strip's core."""
    return max(width / 2, MARK_HALF_MM)


def strip_core(start, end, width):
    """A strip from end to end."""
    (x0, y0), (x1, y1) = start, end
    half = strip_half(width) / np.hypot(x1 - x0, y1 - y0)
    across = (-(y1 - y0) * half, (x1 - x0) * half)
    corners = [(x + s * across[0], y + s * across[1]) for x, y in (start, end) for s in (-1, 1)]
    return MultiPoint(corners).convex_hull


def fit_one_cell(one, other, long, short):
    """True when a cell can touch both of two rectangles."""
    along = max(0.0, max(one[0], other[0]) - min(one[2], other[2])) - ROUNDING_MM
    across = max(0.0, max(one[1], other[1]) - min(one[3], other[3])) - ROUNDING_MM
    return max(along, across) <= long and min(along, across) <= short


def total(instance, solver, step):
    """The cells of all components together. Components of one shape, as panels are, are solved once."""
    return sum(_solved_once(solver, normalised(cores), instance.long, instance.short, step)
               for cores in instance.components())


def normalised(cores):
    """A component moved to where its bounds start at zero, in a form that can be compared."""
    bounds = np.array([core.bounds for core in cores])
    low = bounds[:, :2].min(axis=0)
    moved = [set_precision(translate(core, *-low), ROUNDING_MM).normalize() for core in cores]
    return tuple(sorted(core.wkb for core in moved))


@cache
def _solved_once(solver, component, long, short, step):
    return solver([wkb.loads(core) for core in component], long, short, step)


def least_on_grid(cores, long, short, step):
    """A number of cells of any position that is not enough to go below; see the top of the file."""
    points = np.concatenate([sampled(core, step) for core in cores])
    low, high = points.min(axis=0), points.max(axis=0)
    headings = [(long + step, short + step), (short + step, long + step)]
    # A cell that reaches over the lower ends of all cores may as well start there.
    places = [[np.arange(low[k], high[k] + step, step) for k in (0, 1)] for _ in headings]
    return cover(points, places, headings)


def sampled(core, step):
    """Points of a core about a step apart: its corners, its outline, and its inside."""
    if core.geom_type == "Point":
        return np.array(core.coords)
    outline = core if core.geom_type == "LineString" else core.exterior
    length = outline.length
    ring = [outline.interpolate(at).coords[0] for at in np.linspace(0, length, int(length / step) + 2)]
    points = [*outline.coords, *ring]
    if core.geom_type == "Polygon":
        x0, y0, x1, y1 = core.bounds
        inside = product(np.arange(x0 + step, x1, step), np.arange(y0 + step, y1, step))
        points += [at for at in inside if core.contains(MultiPoint([at]))]
    return np.unique(np.round(points, 6), axis=0)


def most_on_grid(cores, long, short, step):
    """A number of cells that is enough; see the top of the file."""
    long, short = long - SOLVER_SLACK_MM, short - SOLVER_SLACK_MM
    headings = [(long, short), (short, long)]
    ends = np.array([core.bounds for core in cores])
    places = []
    for size in headings:
        axes = []
        for k in (0, 1):
            low, high = ends[:, k], ends[:, k + 2]
            grid = np.arange(low.min(), high.max() + step, step)
            axes.append(np.unique(np.round(np.concatenate([grid, low, high - size[k]]), 6)))
        places.append(axes)
    edges = [np.unique(np.concatenate([at for (axes, size) in zip(places, headings) for at in (axes[k], axes[k] + size[k])]))
             for k in (0, 1)]
    points = np.unique(np.concatenate([pieces(core, edges) for core in cores]), axis=0)
    return cover(points, places, headings)


def pieces(core, edges):
    """One point for each piece into which the edges of cells can cut a core."""
    x0, y0, x1, y1 = core.bounds
    axes = []
    for low, high, at in ((x0, x1, edges[0]), (y0, y1, edges[1])):
        cuts = np.concatenate([[low], at[(at > low) & (at < high)], [high]])
        axes.append(list(zip(cuts, cuts[1:])) if high > low else [(low, low)])
    boxes = [((a + b) / 2, (c + d) / 2, (a, c, b, d)) for (a, b), (c, d) in product(*axes)]
    straight = abs(core.area - (x1 - x0) * (y1 - y0)) < ROUNDING_MM and (core.length > 0 or x0 == x1)
    slanting = not straight or (core.area == 0 and x1 > x0 and y1 > y0)
    return np.array([(x, y) for x, y, piece in boxes if not slanting or box(*piece).intersects(core)])


def cover(points, places, headings):
    """The fewest cells at the given places that hold all points, counted by HiGHS.

    `places` are per heading the sorted lower left abscissas and ordinates. A cell that loses nothing when it goes to
    the next place is left out for the one there, and so is one that the place before it would better.
    """
    rows, columns, count = [], [], 0
    for (xs, ys), (width, height) in zip(places, headings):
        first = [np.searchsorted(at, points[:, k] - size - ROUNDING_MM) for k, (at, size) in
                 enumerate(((xs, width), (ys, height)))]
        last = [np.searchsorted(at, points[:, k] + ROUNDING_MM, side="right") - 1 for k, at in enumerate((xs, ys))]
        kept = undominated(first, last, (len(xs), len(ys)))
        number = np.where(kept, np.cumsum(kept).reshape(kept.shape) - 1 + count, -1)
        for point in range(len(points)):
            near = number[first[0][point] : last[0][point] + 1, first[1][point] : last[1][point] + 1]
            near = near[near >= 0]
            rows.append(np.full(len(near), point))
            columns.append(near)
        count += int(kept.sum())
    rows, columns = np.concatenate(rows), np.concatenate(columns)
    rows, columns = without_twins(rows, columns)
    columns, rows = without_twins(columns, rows)
    shape = (rows.max() + 1, columns.max() + 1)
    incidence = csc_array(coo_array((np.ones(len(rows)), (rows, columns)), shape=shape))
    return solved(np.ones(shape[1]), [LinearConstraint(incidence, lb=1)], Bounds(0, 1))


def undominated(first, last, shape):
    """Places from which any step to a neighbouring place loses a point that was held."""
    kept = np.ones(shape, bool)
    for axis in (0, 1):
        def held_from(index, axis=axis):
            # How many points a cell holds whose first (or last) place along the axis is its own.
            other = 1 - axis
            table = np.zeros((shape[axis], shape[other] + 1))
            np.add.at(table, (index, first[other]), 1)
            np.add.at(table, (index, last[other] + 1), -1)
            table = np.cumsum(table, axis=1)[:, :-1]
            return table if axis == 0 else table.T
        lost_ahead, lost_back = held_from(last[axis]), held_from(first[axis])
        gained_back = np.roll(lost_ahead, 1, axis=axis)
        gained_back[(0, slice(None)) if axis == 0 else (slice(None), 0)] = 0
        kept &= lost_ahead > 0
        kept &= ~((lost_back == 0) & (gained_back > 0))
    return kept


def without_twins(keys, values):
    """Keeps one of all keys that go with the same values, and numbers the rest anew."""
    weights = np.random.default_rng(1).random(values.max() + 1)
    sums = np.bincount(keys, weights=weights[values])
    seen = np.flatnonzero(np.bincount(keys))
    _, chosen = np.unique(np.round(sums[seen], 9), return_index=True)
    renamed = np.full(len(sums), -1)
    renamed[seen[chosen]] = np.arange(len(chosen))
    kept = renamed[keys] >= 0
    return renamed[keys][kept], values[kept]


def solved(costs, constraints, bounds, whole=1):
    """The least whole cost, and nothing that HiGHS has not proven."""
    answer = milp(costs, integrality=np.broadcast_to(whole, len(costs)), constraints=constraints, bounds=bounds,
                  options={"mip_rel_gap": 0, "time_limit": 120})
    assert answer.status == 0, f"HiGHS: {answer.message}"
    return round(answer.fun)
