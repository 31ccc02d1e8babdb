"""Sheets that are cut by hand, put together again: what falls out of them, and what then holds them together.

Knife lines are read from the pages, each sheet is trimmed where sheets.json says and laid on those before it, and what is
hatched is taken out. Nothing of it comes from the program's own geometry.
"""

import functools
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from shapely import STRtree, get_coordinates, set_precision, unary_union
from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.ops import polygonize

import proof
import sheet as sheet_module
from floor import Floor

# Knife lines lie this near to where they belong: what the program promises for edges of slots.
TRUE_MM = 0.02

# Coordinates of pages are 32-bit floats of points, 0.00003 mm: lines of two sheets meet within this.
MEET_MM = 0.005

# The bridges of a hand, mm, unless told otherwise, and what rounding takes from one.
BRIDGE_MM = 6.0
ROUNDING_MM = 0.01

# Diameter of a mark's hole, and where its windows lie on the arms of its cross, mm.
HOLE_MM = 6.0
WINDOW_MM = (7.0, 15.0)
PEN_MM = 2.0

# A window that the print cuts off is at least so long, and ends so near to the print's end, mm.
LEAST_WINDOW_MM, SHORTER_MM = 1.4, 0.8

# Shortest slot of a tape strip, mm: anything smaller is a window or a hole.
SHORTEST_SLOT_MM = 4.5


@dataclass(frozen=True)
class Slot:
    """An opening along a tape strip: from where to where on the strip's axis, mm."""

    line: int
    start: float
    end: float
    area: object


class HandCut:
    """The floor of a kit, as its sheets show it once they are joined and cut."""

    def __init__(self, kit, bridge=BRIDGE_MM):
        sheets, _ = sheet_module.sheets_of(kit)
        self.sheets = sorted(sheets, key=lambda sheet: sheet.laid)
        self.floor = Floor(kit.plan)
        self.bridge = bridge

    @cached_property
    def papers(self):
        """The trimmed papers on the floor, in the order of laying."""
        return [sheet.on_floor(sheet.cut_paper) for sheet in self.sheets]

    @cached_property
    def visible(self):
        """What of each paper no other one hides."""
        tree = STRtree(self.papers)
        shown = []
        for index, paper in enumerate(self.papers):
            above = [self.papers[other] for other in tree.query(paper) if other > index]
            shown.append(paper.difference(unary_union(above)) if above else paper)
        return shown

    @cached_property
    def seams(self):
        """Where a paper ends on another one, or against it."""
        tree = STRtree(self.visible)
        seams = []
        for index, shown in enumerate(self.visible):
            below = [self.visible[other].buffer(MEET_MM) for other in tree.query(shown.buffer(MEET_MM)) if other < index]
            seams.append(shown.boundary.intersection(unary_union(below)))
        return unary_union(seams)

    @cached_property
    def openings(self):
        """What falls out, each opening in one piece."""
        parts = []
        for sheet, shown in zip(self.sheets, self.visible):
            parts.extend(face.intersection(shown) for face in hatched_faces(sheet))
        whole = unary_union([part.buffer(MEET_MM, join_style="mitre") for part in parts])
        whole = whole.buffer(-MEET_MM, join_style="mitre")
        return [part for part in getattr(whole, "geoms", [whole]) if part.area > 0.5]

    @cached_property
    def knife(self):
        """The knife lines that are seen."""
        return unary_union([
            sheet.stroked("knife").intersection(shown.buffer(TRUE_MM)) for sheet, shown in zip(self.sheets, self.visible)
        ])

    @cached_property
    def slots(self):
        """Openings along tape strips, line by line."""
        slots = []
        for index, (axis, line) in enumerate(zip(self.floor.axes, self.floor.plan["lines"])):
            band = self.floor.bands[index]
            for opening in self.openings:
                inside = opening.intersection(band).area
                if opening.area < SHORTEST_SLOT_MM * line["width_mm"] or inside < 0.99 * opening.area:
                    continue
                along = along_axis(axis, opening)
                if abs((along[1] - along[0]) * line["width_mm"] - opening.area) < 0.02 * opening.area:
                    slots.append(Slot(index, *along, opening))
        return slots


def along_axis(axis, geometry):
    """From where to where along a straight a geometry reaches."""
    (x0, y0), (x1, y1) = axis.coords
    ahead = np.array([x1 - x0, y1 - y0]) / axis.length
    at = (get_coordinates(geometry) - [x0, y0]) @ ahead
    return float(at.min()), float(at.max())


def hatched_faces(sheet):
    """What knife lines and the window's edge enclose on a sheet, where it is hatched; on the floor."""
    window = sheet.on_page(sheet.window)
    lines = sheet.segments("knife")
    # The window's edge closes what runs on beyond it.
    net = unary_union([*(line for line in lines), window.exterior])
    net = unary_union(set_precision(net, 1e-4))
    faces = list(polygonize(net))
    middles = [line.interpolate(0.5, normalized=True) for line in sheet.segments("waste")]
    tree = STRtree(faces)
    hit = set(tree.query(middles, predicate="within")[1].tolist()) if middles else set()
    return [sheet.on_floor(faces[face]) for face in hit]


@functools.lru_cache(maxsize=2)
def opened(kit):
    return HandCut(kit)


def open_lines(cut):
    """Visible knife lines that close no opening, and edges of openings without a knife line."""
    edges = unary_union([part.exterior for part in cut.openings])
    loose = cut.knife.difference(edges.buffer(TRUE_MM))
    unlined = edges.difference(cut.knife.buffer(TRUE_MM))
    return [
        f"{what} of {part.length:.2f} mm near {part.centroid.x:.0f}, {part.centroid.y:.0f}"
        for what, found in (("a knife line closes nothing,", loose), ("an edge has no knife line,", unlined))
        for part in getattr(found, "geoms", [found]) if part.length > 5 * MEET_MM
    ]


def off_the_strips(cut):
    """Sides of slots off the edges of their tape strips."""
    faults = []
    for slot in cut.slots:
        axis = cut.floor.axes[slot.line]
        (x0, y0), (x1, y1) = axis.coords
        across = np.array([-(y1 - y0), x1 - x0]) / axis.length
        off = (get_coordinates(slot.area) - [x0, y0]) @ across
        half = cut.floor.plan["lines"][slot.line]["width_mm"] / 2
        # Every corner lies on one side or the other; a widest strip on the same straight rules.
        worst = float(np.abs(np.abs(off) - half).max())
        if worst > TRUE_MM:
            faults.append(f"a slot of line {slot.line} from {slot.start:.1f} mm is {worst:.3f} mm off its strip")
    return faults


def webs(cut):
    """What stays between two slots of a tape strip that follow each other: line, from, to, and its area."""
    for index, axis in enumerate(cut.floor.axes):
        slots = sorted((slot for slot in cut.slots if slot.line == index), key=lambda slot: slot.start)
        (x0, y0), (x1, y1) = axis.coords
        ahead = np.array([x1 - x0, y1 - y0]) / axis.length
        across = np.array([-ahead[1], ahead[0]]) * cut.floor.plan["lines"][index]["width_mm"] / 2
        for one, other in zip(slots, slots[1:]):
            start, end = (np.array([x0, y0]) + ahead * at for at in (one.end, other.start))
            corners = [start + across, end + across, end - across, start - across]
            yield index, one.end, other.start, Polygon(corners)


def runs_along(axis, line):
    """True where a seam runs within 17 degrees of a strip."""
    (x0, y0), (x1, y1) = axis.coords
    (p0, q0), (p1, q1) = line.coords[0], line.coords[-1]
    turn = (x1 - x0) * (q1 - q0) - (y1 - y0) * (p1 - p0)
    return abs(turn) < 0.3 * axis.length * np.hypot(p1 - p0, q1 - q0)


def crossed_bridges(cut):
    """Webs that a seam runs through without a bridge's width of web on both sides of it."""
    faults = []
    for index, start, end, area in webs(cut):
        axis = cut.floor.axes[index]
        inner = area.buffer(-ROUNDING_MM, join_style="mitre")
        found = cut.seams.intersection(inner)
        for seam in getattr(found, "geoms", [found]):
            if seam.length < 0.5 or runs_along(axis, seam):
                continue
            low, high = along_axis(axis, seam)
            if min(low - start, end - high) < cut.bridge - 2 * ROUNDING_MM:
                faults.append(
                    f"line {index}: a seam at {low:.1f} to {high:.1f} mm runs through the web from {start:.1f} to {end:.1f} mm"
                )
    return faults


def bridges_without_a_sheet(cut):
    """Bridges between slots that lie whole on no sheet."""
    tree = STRtree(cut.visible)
    faults = []
    for index, start, end, area in webs(cut):
        if end - start > cut.bridge + 1 or any(
            runs_along(cut.floor.axes[index], seam) for seam in lines_of(cut.seams.intersection(area.buffer(-ROUNDING_MM)))
        ):
            continue
        inner = area.buffer(-ROUNDING_MM, join_style="mitre")
        if not any(cut.visible[sheet].covers(inner) for sheet in tree.query(inner)):
            faults.append(f"line {index}: the bridge from {start:.1f} to {end:.1f} mm lies on no sheet whole")
    return faults


def lines_of(geometry):
    return [part for part in getattr(geometry, "geoms", [geometry]) if part.length > 0.5]


def unheld_seams(cut):
    """Seams across slots without a bridge beside them that is glued, or one on each side."""
    tree = STRtree(cut.papers)
    faults = []
    between = list(webs(cut))
    for slot in cut.slots:
        axis = cut.floor.axes[slot.line]
        for seam in lines_of(cut.seams.intersection(slot.area)):
            if runs_along(axis, seam):
                continue
            low, high = along_axis(axis, seam)
            beside = [
                (end <= low + ROUNDING_MM, area) for index, start, end, area in between
                if index == slot.line and (0 <= low - end < 30 or 0 <= start - high < 30)
            ]
            glued = [
                sum(cut.papers[paper].covers(bridge_at(axis, area, before, cut.bridge)) for paper in tree.query(area)) > 1
                for before, area in beside
            ]
            # The end of a strip holds as a bridge does.
            sides = {before for before, _ in beside}
            ends = (low - slot.start < 30 and before_first(cut, slot), slot.end - high < 30 and after_last(cut, slot))
            if not any(glued) and not (len(sides) + sum(map(bool, ends)) >= 2):
                faults.append(f"line {slot.line}: nothing holds the seam at {low:.1f} mm")
    return faults


def bridge_at(axis, area, before, bridge):
    """The bridge's width of a web that is next to a seam before or behind it."""
    low, high = along_axis(axis, area)
    (x0, y0), (x1, y1) = axis.coords
    ahead = np.array([x1 - x0, y1 - y0]) / axis.length
    start, end = (max(low, high - bridge), high) if before else (low, min(high, low + bridge))
    ends = [np.array([x0, y0]) + ahead * at for at in (start, end)]
    wide = 400.0
    side = np.array([-ahead[1], ahead[0]]) * wide
    strip = Polygon([ends[0] + side, ends[1] + side, ends[1] - side, ends[0] - side])
    return area.intersection(strip).buffer(-ROUNDING_MM, join_style="mitre")


def before_first(cut, slot):
    return all(other.start >= slot.start for other in cut.slots if other.line == slot.line)


def after_last(cut, slot):
    return all(other.end <= slot.end for other in cut.slots if other.line == slot.line)


def parts(cut):
    """How many parts each group of joined sheets falls into once it is cut."""
    hung = {sheet.label: {sheet.label} for sheet in cut.sheets}
    for under, over, _ in proof.joints(cut.sheets):
        whole = hung[under.label] | hung[over.label]
        for label in whole:
            hung[label] = whole
    openings = unary_union(cut.openings)
    found = []
    for group in {frozenset(group) for group in hung.values()}:
        papers = [paper for sheet, paper in zip(cut.sheets, cut.papers) if sheet.label in group]
        left = unary_union(papers).difference(openings)
        found.append(sum(part.area > 1 for part in getattr(left, "geoms", [left])))
    return found


def thin_webs(cut):
    """Openings nearer to each other than a bridge, but for those of one mark, and nearer to an edge of the paper."""
    marks = list(cut.floor.points.values())
    tree = STRtree(cut.openings)
    faults = []
    for index, opening in enumerate(cut.openings):
        for other in tree.query(opening.buffer(cut.bridge)):
            if other <= index:
                continue
            web = opening.distance(cut.openings[other])
            of_a_mark = any(
                opening.distance(mark) < WINDOW_MM[1] and cut.openings[other].distance(mark) < WINDOW_MM[1] for mark in marks
            ) and min(opening.area, cut.openings[other].area) < 40
            if web < cut.bridge - ROUNDING_MM and not of_a_mark:
                at = opening.centroid
                faults.append(f"a web of {web:.2f} mm near {at.x:.0f}, {at.y:.0f}")
    return faults


def marks_without_openings(cut, names=None):
    """Marks without their hole or one of their four windows. Where the print ends, a window may as well."""
    every = unary_union(cut.openings)
    printed = unary_union([sheet.window.intersection(shown) for sheet, shown in zip(cut.sheets, cut.visible)])
    faults = []
    for name, (x, y) in cut.floor.marks.items():
        if names is not None and name not in names:
            continue
        hole = cut.floor.points[name].buffer(HOLE_MM / 2, quad_segs=64)
        if hole.difference(every.buffer(TRUE_MM)).area > 0 or every.buffer(-TRUE_MM).intersection(hole.exterior).length > 0.5:
            faults.append(f"{name} has no hole")
        near, far = WINDOW_MM
        for ahead, aside in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            middle = LineString([(x + near * ahead, y + near * aside), (x + far * ahead, y + far * aside)])
            window = middle.buffer(PEN_MM / 2, cap_style="flat")
            cut_out = every.intersection(window.buffer(1.5))
            missing = window.intersection(printed).difference(cut_out).area
            beyond = cut_out.difference(window.buffer(TRUE_MM)).area
            if beyond > TRUE_MM or missing > SHORTER_MM * PEN_MM or cut_out.area < LEAST_WINDOW_MM * PEN_MM:
                faults.append(f"{name} has no window at {ahead}, {aside}")
    return faults


def twice_drawn(cut):
    """Sheets on which two knife strokes lie on one another."""
    faults = []
    for sheet in cut.sheets:
        lines = [line for line in sheet.segments("knife") if line.length > 0.1]
        drawn = sum(line.length for line in lines)
        once = unary_union(set_precision(MultiLineString(lines), 0.01)).length
        if drawn - once > 0.01 * len(lines) + 0.01:
            faults.append(f"sheet {sheet.label}: {drawn - once:.2f} mm of knife lines lie on others")
    return faults


def slotted(cut):
    """What share of each tape strip is slot."""
    shares = []
    for index, axis in enumerate(cut.floor.axes):
        shares.append(sum(slot.end - slot.start for slot in cut.slots if slot.line == index) / axis.length)
    return shares
