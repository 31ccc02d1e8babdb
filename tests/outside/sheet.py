"""Full-scale sheets: pages of stencils.pdf with the place on the floor that sheets.json gives them."""

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
from shapely import get_coordinates, points, unary_union
from shapely.affinity import affine_transform
from shapely.geometry import LineString, MultiLineString, Point, Polygon, box

import vectors


@dataclass(frozen=True)
class Sheet:
    """One page; `to_page` is [a, b, c, d, e, f] with xp = a·x + c·y + e and yp = b·x + d·y + f.

    `cut` names the edges of the page that are cut, `cut_depth` mm inside the window. `laid` is its place in the order
    of laying: a sheet lies on top of those laid before it.
    """

    label: str
    number: int
    to_page: tuple
    window: Polygon
    registration: dict
    page: vectors.Page
    cut: tuple
    cut_depth: float
    laid: int

    @cached_property
    def _to_floor(self):
        a, b, c, d, e, f = self.to_page
        forth = np.array([[a, c, e], [b, d, f], [0, 0, 1]])
        back = np.linalg.inv(forth)
        # The order that shapely asks for: first row, second row, shift.
        return [*back[0, :2], *back[1, :2], back[0, 2], back[1, 2]]

    def on_floor(self, geometry):
        """A geometry of the page where it lies on the floor."""
        return affine_transform(geometry, self._to_floor)

    def on_page(self, geometry):
        """A geometry of the floor where it lies on the page."""
        a, b, c, d, e, f = self.to_page
        return affine_transform(geometry, [a, c, b, d, e, f])

    def cut_line(self, edge):
        """Where the page is cut at one of its edges, from side to side of the window, on the page."""
        x0, y0, x1, y1 = self.on_page(self.window).bounds
        depth = self.cut_depth
        return LineString({
            "left": [(x0 + depth, y0), (x0 + depth, y1)], "right": [(x1 - depth, y0), (x1 - depth, y1)],
            "top": [(x0, y1 - depth), (x1, y1 - depth)], "bottom": [(x0, y0 + depth), (x1, y0 + depth)],
        }[edge])

    @cached_property
    def cut_paper(self):
        """The paper with its margins once it is cut, on the page."""
        at = {edge: self.cut_line(edge).bounds for edge in self.cut}
        return box(
            at["left"][0] if "left" in at else 0.0, at["bottom"][1] if "bottom" in at else 0.0,
            at["right"][0] if "right" in at else self.page.width, at["top"][1] if "top" in at else self.page.height,
        )

    @cached_property
    def _known(self):
        return {}

    def filled(self, layer):
        """The floor under a layer's fills."""
        if ("filled", layer) not in self._known:
            areas = [fill.area for fill in self.page.fills if fill.layer == layer]
            self._known["filled", layer] = self.on_floor(unary_union(areas))
        return self._known["filled", layer]

    def segments(self, layer, longest=float("inf")):
        """A layer's straight strokes on the page, up to a length in mm."""
        return self.page.segments(layer, longest)

    def crosses(self, layer, longest, nearness, shortest=0.0):
        """Points of the page at which two of a layer's strokes of such a length cross at right angles."""
        def found():
            return crosses([line for line in self.segments(layer, longest) if line.length > shortest], nearness)
        return self.page.once(("crosses", layer, longest, nearness, shortest), found)

    def stroked(self, layer):
        """A layer's strokes on the floor, each straight piece by itself."""
        if ("stroked", layer) not in self._known:
            self._known["stroked", layer] = self.on_floor(MultiLineString(self.segments(layer)))
        return self._known["stroked", layer]

    def moved(self, along, across):
        """The same page as if it lay elsewhere: what a wrong transform would do."""
        a, b, c, d, e, f = self.to_page
        return replace(self, to_page=(a, b, c, d, e + a * along + c * across, f + b * along + d * across))


@lru_cache(maxsize=2)
def sheets_of(kit):
    """All sheets of a kit, and the pages before them; kept for the tests of one kit, which run one after the other."""
    pages = vectors.read(kit.path("stencils.pdf"))
    sheets = []
    for entry in kit.sheets["sheets"]:
        registration = {point["id"]: (point["x_mm"], point["y_mm"]) for point in entry["registration"]}
        page = pages[entry["page"] - 1]
        transform, window = tuple(entry["floor_to_page"]), Polygon(entry["window"])
        cut, depth = tuple(entry["cut"]), kit.sheets["overlap_mm"] / 2
        label, number, laid = entry["label"], entry["page"], entry["laid"]
        sheets.append(Sheet(label, number, transform, window, registration, page, cut, depth, laid))
    numbered = {sheet.number for sheet in sheets}
    return sheets, [page for number, page in enumerate(pages, 1) if number not in numbered]


def crosses(segments, nearness):
    """Points at which two short strokes cross at right angles."""
    ends = get_coordinates(segments).reshape(-1, 2, 2)
    (width, height) = np.abs(ends[:, 1] - ends[:, 0]).T
    lying, upright = ends[height < nearness], ends[width < nearness]
    # Each flat one against each post: a row and a column.
    left, right = lying[:, :, 0].min(axis=1)[:, None], lying[:, :, 0].max(axis=1)[:, None]
    low, high = upright[:, :, 1].min(axis=1), upright[:, :, 1].max(axis=1)
    # Where a flat one begins at the left, and a post at the foot.
    x = upright[np.arange(len(upright)), upright[:, :, 1].argmin(axis=1), 0]
    y = lying[np.arange(len(lying)), lying[:, :, 0].argmin(axis=1), 1][:, None]
    within = (left - nearness <= x) & (x <= right + nearness) & (low - nearness <= y) & (y <= high + nearness)
    flat, post = np.nonzero(within)
    return list(points(x[post], y[flat, 0]))
