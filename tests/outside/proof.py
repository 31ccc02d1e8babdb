"""The floor put together again from the finished pages, and every way in which it differs from the plan.

Each question returns a list of faults in words; an empty list is a proof.
"""

from collections import defaultdict
from itertools import combinations

import numpy as np
from shapely import unary_union
from shapely.geometry import LineString, MultiLineString, Point, box
from shapely.strtree import STRtree

from vectors import circles

# Pages hold coordinates to 0.0001 pt and readers keep 32-bit floats, together far below 0.001 mm; a laser printer's
# dot is 0.04 mm. What is off by more than half a dot is wrong.
TOLERANCE_MM = 0.02

# What rounding may leave over of a difference of two areas along their whole edge, mm².
SLIVER_MM2 = 1e-6

# A mark: diameter of its circle and length of each arm of its cross.
CIRCLE_MM = 6.0
MARK_ARM_MM = 15.0

# A registration cross is short, so that the seam through it is not taken for one of its arms.
REGISTRATION_CROSS_MM = 10.0

# How far from its mark a name may begin and still be read as the mark's, mm.
NAME_REACH_MM = 75.0

# Least distance of the two registration points of a joint, mm: common practice, no source.
LEAST_BASE_MM = 10.0


def _grown(geometry):
    return geometry.buffer(TOLERANCE_MM, cap_style="square", join_style="mitre")


def _left_over(wanted, given):
    rest = wanted.difference(given)
    return rest if rest.area > SLIVER_MM2 or (rest.area == 0 and rest.length > TOLERANCE_MM) else None


def _where(geometry):
    x0, y0, x1, y1 = geometry.bounds
    return f"at x {x0:.2f} … {x1:.2f}, y {y0:.2f} … {y1:.2f}"


def uncovered(floor, sheets):
    """Tape strips, axes and dark fields that no page shows, wholly or in part."""
    faults = []
    filled = _grown(unary_union([sheet.filled("lines") for sheet in sheets]))
    for line, band in zip(floor.plan["lines"], floor.bands):
        gap = _left_over(band.difference(floor.panels), filled)
        if gap:
            faults.append(f"line {line['from']}–{line['to']} is not covered {_where(gap)}")
    stroked = _grown(unary_union([sheet.stroked("lines") for sheet in sheets]))
    for line, axis in zip(floor.plan["lines"], floor.axes):
        gap = _left_over(axis, stroked)
        if gap:
            faults.append(f"the middle of line {line['from']}–{line['to']} is not drawn {_where(gap)}")
    panels = _grown(unary_union([sheet.filled("panels") for sheet in sheets]))
    gap = _left_over(floor.dark, panels)
    if gap:
        faults.append(f"a panel is not covered {_where(gap)}")
    return faults


def unplanned(floor, sheets):
    """What pages show where the plan has nothing."""
    taped, dark = _grown(floor.taped), _grown(floor.dark)
    strip_edges = [band.exterior for band in floor.bands]
    line_strokes = _grown(unary_union([*floor.axes, *strip_edges]))
    field_strokes = _grown(unary_union([outline.exterior for outline, _ in floor.fields]))
    arms = _grown(unary_union([arm for at in floor.points.values() for arm in _arms(at)]))
    marks = unary_union([arms, *(at.buffer(CIRCLE_MM / 2 + TOLERANCE_MM, 64) for at in floor.points.values())])
    questions = [
        ("a band", lambda s: s.filled("lines"), taped),
        ("a field", lambda s: s.filled("panels"), dark),
        ("a stroke on the lines' layer", lambda s: s.stroked("lines"), line_strokes),
        ("a stroke on the panels' layer", lambda s: s.stroked("panels"), field_strokes),
    ]
    faults = []
    for sheet in sheets:
        for what, shown, planned in questions:
            extra = _left_over(shown(sheet), planned)
            if extra:
                faults.append(f"{sheet.label}: {what} {_where(extra)}, where the plan has none")
        extra = _left_over(sheet.stroked("marks"), marks)
        if extra:
            faults.append(f"{sheet.label}: a stroke of a mark {_where(extra)}, where the plan has no mark")
    return faults


def _arms(at):
    reach = MARK_ARM_MM
    along = LineString([(at.x - reach, at.y), (at.x + reach, at.y)])
    across = LineString([(at.x, at.y - reach), (at.x, at.y + reach)])
    return [along, across]


def misplaced_marks(floor, sheets):
    """Marks without cross, circle or name in their place, and crosses and circles away from any mark."""
    faults = []
    names, places = zip(*floor.points.items())
    tree = STRtree(places)
    crossed, circled, named = defaultdict(int), defaultdict(int), defaultdict(int)
    for sheet in sheets:
        # Chords of a circle are short; the arms of a cross are what is left.
        crossing = sheet.crosses("marks", 2 * MARK_ARM_MM + TOLERANCE_MM, TOLERANCE_MM, shortest=1.0)
        for kind, found in (("cross", crossing), ("circle", _holes(sheet))):
            for on_page in found:
                at = sheet.on_floor(on_page)
                nearest = int(tree.nearest(at))
                if places[nearest].distance(at) > TOLERANCE_MM:
                    distance = places[nearest].distance(at)
                    faults.append(f"{sheet.label}: a {kind} {_where(at)}, {distance:.3f} mm from mark {names[nearest]}")
                else:
                    (crossed if kind == "cross" else circled)[names[nearest]] += 1
                    named[names[nearest]] += kind == "cross" and _named(sheet, names[nearest], on_page)
    for name in names:
        for kind, count in (("cross", crossed), ("circle", circled), ("name beside its cross", named)):
            if not count[name]:
                faults.append(f"mark {name} has no {kind} on any sheet")
    return faults


def _holes(sheet):
    whole = sheet.page.once("circles of marks", lambda: circles(sheet.page, "marks"))
    return [centre for centre, diameter in whole if abs(diameter - CIRCLE_MM) < TOLERANCE_MM]


def _named(sheet, name, on_page):
    names = [text for text in sheet.page.texts if text.content.split() == [name]]
    return any(text.box.distance(on_page) < NAME_REACH_MM for text in names)


def lost_registration(sheets):
    """Registration points that are listed once only, in two places, or not drawn on a sheet that lists them."""
    faults = []
    seen = defaultdict(list)
    for sheet in sheets:
        crossing = sheet.crosses("registration", REGISTRATION_CROSS_MM, TOLERANCE_MM)
        drawn = [sheet.on_floor(at) for at in crossing]
        for name, at in sheet.registration.items():
            seen[name].append(at)
            if not any(cross.distance(Point(at)) <= TOLERANCE_MM for cross in drawn):
                faults.append(f"{sheet.label} lists registration {name} at {at} and draws no cross there")
    for name, places in seen.items():
        if len(places) < 2:
            faults.append(f"registration {name} is on one sheet only")
        if len(set(places)) > 1:
            faults.append(f"registration {name} has more than one place: {sorted(set(places))}")
    return faults


def outside(pages, printable):
    """Paths and texts that lie, even in part, where the printer does not print."""
    allowed = box(*printable).buffer(TOLERANCE_MM, join_style="mitre")
    x0, y0, x1, y1 = allowed.bounds
    faults = []
    for name, page in pages:
        for fill in page.fills:
            # White hides nothing in a margin and prints nothing there.
            if fill.grey < 1 and not fill.area.is_empty and not _within(fill.area.bounds, allowed.bounds):
                faults.append(f"{name}: a fill on layer {fill.layer} {_where(fill.area)}")
        for stroke in page.strokes:
            points = np.array([point for run in stroke.runs for point in run])
            low, high = points.min(axis=0), points.max(axis=0)
            # A frame along the edge is half outside of it; that half is less than any printer's reserve.
            if low[0] < x0 or low[1] < y0 or high[0] > x1 or high[1] > y1:
                faults.append(f"{name}: a stroke on layer {stroke.layer} from {low} to {high}")
        faults += [
            f"{name}: the text “{text.content}” {_where(text.box)}"
            for text in page.texts if not _within(text.bounds, allowed.bounds)
        ]
    return faults


def _within(inner, outer):
    return inner[0] >= outer[0] and inner[1] >= outer[1] and inner[2] <= outer[2] and inner[3] <= outer[3]


def joints(sheets):
    """Pairs of sheets that share registration points: the lower, the upper, and where the points lie."""
    listing = defaultdict(list)
    for sheet in sheets:
        for name in sheet.registration:
            listing[name].append(sheet)
    shared = defaultdict(list)
    for name, listed in sorted(listing.items()):
        for under, over in combinations(sorted(listed, key=lambda sheet: sheet.laid), 2):
            shared[under.label, over.label].append(over.registration[name])
    by_label = {sheet.label: sheet for sheet in sheets}
    return [(by_label[under], by_label[over], points) for (under, over), points in sorted(shared.items())]


def wrong_joints(sheets):
    """Joined sheets that have not two registration points, have them beside the upper sheet's cut, or share too
    little.

    The upper sheet is cut half an overlap inside its window. Where the lower one shows half an overlap on both sides
    of the cut, along the part of it between the points, the two share a strip at least the overlap wide.
    """
    faults = []
    for under, over, points in joints(sheets):
        pair = f"{over.label} on {under.label}"
        if len(points) != 2:
            faults.append(f"{pair}: {len(points)} registration points, expected 2")
            continue
        if Point(points[0]).distance(Point(points[1])) < LEAST_BASE_MM:
            faults.append(f"{pair}: the registration points lie too close together to hold an angle")
        seam = over.on_page(LineString(points))
        edge = next((edge for edge in over.cut if over.cut_line(edge).distance(Point(seam.coords[0])) < TOLERANCE_MM), "")
        if not edge or any(over.cut_line(edge).distance(Point(end)) > TOLERANCE_MM for end in seam.coords):
            faults.append(f"{pair}: the registration points at {points} are not on one cut of {over.label}")
            continue
        strip = over.on_floor(seam.buffer(over.cut_depth - TOLERANCE_MM, cap_style="flat"))
        for sheet in (under, over):
            if not sheet.window.buffer(TOLERANCE_MM, join_style="mitre").contains(strip):
                faults.append(f"{pair}: {sheet.label} does not show half an overlap on both sides of the cut")
    return faults


def wrong_cuts(sheets):
    """Cuts that sheets.json names and the page does not show dashed, whole, and in their place; and dashed lines on
    the registration layer that are no such cut."""
    faults = []
    for sheet in sheets:
        drawn = [
            LineString(segment) for stroke in sheet.page.strokes if stroke.layer == "registration" and stroke.dashed
            for segment in stroke.segments()
        ]
        for edge in sheet.cut:
            if not any(line.hausdorff_distance(sheet.cut_line(edge)) < TOLERANCE_MM for line in drawn):
                faults.append(f"{sheet.label} is cut at the {edge} and shows no dashed line there")
        for line in drawn:
            if not any(line.hausdorff_distance(sheet.cut_line(edge)) < TOLERANCE_MM for edge in sheet.cut):
                faults.append(f"{sheet.label}: a dashed line {_where(line)} of the page, where it is not cut")
    return faults


def visible(sheets):
    """Sheet label → the floor on which its paper, cut and laid in its turn, lies on top of all others.

    Paper hides what is under it with its unprinted margins too, so the whole page counts unless it is cut.
    """
    out = {}
    papers = [sheet.on_floor(sheet.cut_paper) for sheet in sheets]
    tree = STRtree(papers)
    for index, sheet in enumerate(sheets):
        near = tree.query(papers[index])
        above = [papers[other] for other in near if sheets[other].laid > sheet.laid]
        out[sheet.label] = papers[index].difference(unary_union(above))
    return out


def hidden_once_laid(floor, sheets):
    """What of strips, fields and marks cannot be seen from above once all sheets are cut and laid in their order."""
    top = visible(sheets)
    filled = [sheet.filled(layer).intersection(top[sheet.label]) for sheet in sheets for layer in ("lines", "panels")]
    faults = []
    gap = _left_over(unary_union([floor.taped, floor.dark]), _grown(unary_union(filled)))
    if gap:
        faults.append(f"the laid sheets do not show the layout {_where(gap)}")
    # An arm that lies on a cut is left on either side of it.
    crossed = _grown(unary_union([sheet.stroked("marks").intersection(_grown(top[sheet.label])) for sheet in sheets]))
    for name, at in floor.points.items():
        cross = unary_union(_arms(at)).intersection(at.buffer(CIRCLE_MM / 2))
        if _left_over(cross, crossed):
            faults.append(f"the laid sheets hide the middle of mark {name}")
    if len({sheet.laid for sheet in sheets}) != len(sheets):
        faults.append("two sheets have one place in the order of laying")
    return faults


def missing_scale(pages):
    """Pages without the 100 mm square or the 4 in bar."""
    faults = []
    for name, page in pages:
        if not _square(page):
            faults.append(f"{name}: no square of 100 mm × 100 mm")
        # 4 in = 101.6 mm exactly.
        if not _bar(page, 4 * 25.4):
            faults.append(f"{name}: no bar of 101.6 mm")
    return faults


def _square(page):
    for stroke in page.strokes:
        for run in stroke.runs if stroke.layer == "labels" else ():
            points = np.array(run)
            width, height = np.ptp(points, axis=0)
            # Four sides in one closed run of five corners.
            if len(run) == 5 and abs(width - 100) < TOLERANCE_MM and abs(height - 100) < TOLERANCE_MM:
                return True
    return False


def _bar(page, length):
    """A straight stroke of a length with a cross stroke at each of its ends."""
    straight = [LineString(s) for stroke in page.strokes if stroke.layer == "labels" for s in stroke.segments()]
    bars = [line for line in straight if abs(line.length - length) < TOLERANCE_MM]
    ticks = MultiLineString([line for line in straight if 1 < line.length < 20])
    return any(all(ticks.distance(Point(end)) < TOLERANCE_MM for end in bar.coords) for bar in bars)


def all_faults(floor, sheets):
    """Every question about the floor at once, for one set of sheets."""
    return [
        *uncovered(floor, sheets), *unplanned(floor, sheets), *misplaced_marks(floor, sheets),
        *lost_registration(sheets), *wrong_joints(sheets), *wrong_cuts(sheets), *hidden_once_laid(floor, sheets),
    ]
