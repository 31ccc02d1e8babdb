"""What plan.json says lies on the floor, as geometry; floor axes, mm."""

from functools import cached_property
from math import hypot

from shapely import unary_union
from shapely.geometry import LineString, Point, Polygon


class Floor:
    """The layout of a plan."""

    def __init__(self, plan):
        self.plan = plan
        self.marks = {mark["id"]: (mark["x_mm"], mark["y_mm"]) for mark in plan["marks"]}

    @cached_property
    def spans(self):
        """Each line from mark to mark."""
        return [LineString([self.marks[line["from"]], self.marks[line["to"]]]) for line in self.plan["lines"]]

    @cached_property
    def axes(self):
        """The middle of each line's tape strip, from end to end."""
        return [LineString(middle(self.marks, line)) for line in self.plan["lines"]]

    @cached_property
    def bands(self):
        """Each line's tape strip: a rectangle of its width about its middle."""
        return [band(axis, line["width_mm"]) for axis, line in zip(self.axes, self.plan["lines"])]

    @cached_property
    def fields(self):
        """The panels' single-coloured parts: outline and whether it is dark."""
        return [
            (Polygon(field["outline_mm"]), field["dark"]) for panel in self.plan["panels"] for field in panel["fields"]
        ]

    @cached_property
    def panels(self):
        """The floor that panels cover. A panel lies on the tape strips."""
        return unary_union([outline for outline, _ in self.fields])

    @cached_property
    def taped(self):
        """The floor on which tape strips show."""
        return unary_union(self.bands).difference(self.panels)

    @cached_property
    def dark(self):
        """The panels' dark fields."""
        return unary_union([outline for outline, dark in self.fields if dark])

    @cached_property
    def points(self):
        """The marks as points."""
        return {name: Point(at) for name, at in self.marks.items()}


def middle(marks, line):
    """Both ends of the middle of a strip, which runs past its two marks by what the plan says."""
    (x0, y0), (x1, y1) = marks[line["from"]], marks[line["to"]]
    length = hypot(x1 - x0, y1 - y0)
    x, y = (x1 - x0) / length, (y1 - y0) / length
    before, behind = line["past_mm"]
    return (x0 - before * x, y0 - before * y), (x1 + behind * x, y1 + behind * y)


def band(axis, width):
    """The rectangle of a width about a segment."""
    (x0, y0), (x1, y1) = axis.coords
    length = hypot(x1 - x0, y1 - y0)
    across = (-(y1 - y0) / length * width / 2, (x1 - x0) / length * width / 2)
    return Polygon([
        (x0 + across[0], y0 + across[1]), (x1 + across[0], y1 + across[1]),
        (x1 - across[0], y1 - across[1]), (x0 - across[0], y0 - across[1]),
    ])
