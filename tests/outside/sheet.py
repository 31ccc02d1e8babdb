"""Full-scale sheets: pages of stencils.pdf with the place on the floor that sheets.json gives them."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from shapely import unary_union
from shapely.affinity import affine_transform
from shapely.geometry import LineString, MultiLineString, Point, Polygon

import vectors


@dataclass(frozen=True)
class Sheet:
    """One page; `to_page` is [a, b, c, d, e, f] with xp = a·x + c·y + e and yp = b·x + d·y + f."""

    label: str
    number: int
    to_page: tuple
    window: Polygon
    registration: dict
    page: vectors.Page

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
        lines = [LineString(s) for stroke in self.page.strokes if stroke.layer == layer for s in stroke.segments()]
        return [line for line in lines if 0 < line.length <= longest]

    def stroked(self, layer):
        """A layer's strokes on the floor, each straight piece by itself."""
        if ("stroked", layer) not in self._known:
            self._known["stroked", layer] = self.on_floor(MultiLineString(self.segments(layer)))
        return self._known["stroked", layer]

    def moved(self, along, across):
        """The same page as if it lay elsewhere: what a wrong transform would do."""
        a, b, c, d, e, f = self.to_page
        return replace(self, to_page=(a, b, c, d, e + a * along + c * across, f + b * along + d * across))


def sheets_of(kit):
    """All sheets of a kit, and the pages before them."""
    pages = vectors.read(kit.path("stencils.pdf"))
    sheets = []
    for entry in kit.sheets["sheets"]:
        registration = {point["id"]: (point["x_mm"], point["y_mm"]) for point in entry["registration"]}
        page = pages[entry["page"] - 1]
        transform, window = tuple(entry["floor_to_page"]), Polygon(entry["window"])
        sheets.append(Sheet(entry["label"], entry["page"], transform, window, registration, page))
    numbered = {sheet.number for sheet in sheets}
    return sheets, [page for number, page in enumerate(pages, 1) if number not in numbered]


def crosses(segments, nearness):
    """Points at which two short strokes cross at right angles."""
    found = []
    lying = [s for s in segments if abs(s.coords[0][1] - s.coords[1][1]) < nearness]
    upright = [s for s in segments if abs(s.coords[0][0] - s.coords[1][0]) < nearness]
    for flat in lying:
        (x0, y), (x1, _) = sorted(flat.coords)
        for post in upright:
            (x, y0), (_, y1) = sorted(post.coords, key=lambda p: p[1])
            if x0 - nearness <= x <= x1 + nearness and y0 - nearness <= y <= y1 + nearness:
                found.append(Point(x, y))
    return found
