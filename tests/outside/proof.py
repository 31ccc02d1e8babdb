"""The floor put together again from the finished pages, and every way in which it differs from the plan.

Each question returns a list of faults in words; an empty list is a proof.
"""

from collections import defaultdict

import numpy as np
from shapely import unary_union
from shapely.geometry import LineString, MultiLineString, Point, box
from shapely.strtree import STRtree

from sheet import crosses
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

# Strip that neighbouring sheets share by default, mm.
OVERLAP_MM = 10.0


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
        segments = sheet.segments("marks", 2 * MARK_ARM_MM + TOLERANCE_MM)
        # Chords of a circle are short; the arms of a cross are what is left.
        long_enough = [segment for segment in segments if segment.length > 1]
        for kind, found in (("cross", crosses(long_enough, TOLERANCE_MM)), ("circle", _holes(sheet))):
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
    return [centre for centre, diameter in circles(sheet.page, "marks") if abs(diameter - CIRCLE_MM) < TOLERANCE_MM]


def _named(sheet, name, on_page):
    names = [text for text in sheet.page.texts if text.content.split() == [name]]
    return any(text.box.distance(on_page) < NAME_REACH_MM for text in names)


def lost_registration(sheets):
    """Registration points that are listed once only, in two places, or not drawn on a sheet that lists them."""
    faults = []
    seen = defaultdict(list)
    for sheet in sheets:
        drawn = crosses(sheet.segments("registration", REGISTRATION_CROSS_MM), TOLERANCE_MM)
        drawn = [sheet.on_floor(at) for at in drawn]
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
            for text in page.texts if not _within(text.box.bounds, allowed.bounds)
        ]
    return faults


def _within(inner, outer):
    return inner[0] >= outer[0] and inner[1] >= outer[1] and inner[2] <= outer[2] and inner[3] <= outer[3]


def seams(sheets):
    """Pairs of sheets that are joined along a line: the two, and the registration points they share."""
    listing = defaultdict(list)
    for index, sheet in enumerate(sheets):
        for name in sheet.registration:
            listing[name].append(index)
    shared = defaultdict(set)
    for name, indices in listing.items():
        for first in indices:
            for second in indices:
                if first < second:
                    shared[first, second].add(name)
    joined = []
    for (first, second), points in sorted(shared.items()):
        a, b = sheets[first], sheets[second]
        if len(points) >= 2 and a.window.intersection(b.window).area > 0:
            joined.append((a, b, [a.registration[name] for name in sorted(points)]))
    return joined


def _strip(sheet, other):
    """What both sheets show, on the page of the first: bounds, and whether it runs up the page."""
    x0, y0, x1, y1 = sheet.on_page(sheet.window.intersection(other.window)).bounds
    return (x0, y0, x1, y1), y1 - y0 > x1 - x0


def wrong_overlaps(sheets, overlap=OVERLAP_MM):
    """Joined sheets that share a strip of another width, or whose registration is not on its middle."""
    faults = []
    for a, b, points in seams(sheets):
        (x0, y0, x1, y1), upright = _strip(a, b)
        width = x1 - x0 if upright else y1 - y0
        if abs(width - overlap) > TOLERANCE_MM:
            faults.append(f"{a.label} and {b.label} share {width:.3f} mm, expected {overlap} mm")
        for point in points:
            at = a.on_page(Point(point))
            off = abs(at.x - (x0 + x1) / 2) if upright else abs(at.y - (y0 + y1) / 2)
            if off > TOLERANCE_MM:
                faults.append(f"{a.label} and {b.label}: registration at {point} is {off:.3f} mm off the seam")
    return faults


def trimmed(sheets):
    """Sheet label → the floor that its page shows once it is cut at the seams on its right and at its bottom."""
    left = {sheet.label: sheet.on_page(sheet.window) for sheet in sheets}
    for a, b, _ in seams(sheets):
        for sheet, other in ((a, b), (b, a)):
            (x0, y0, x1, y1), upright = _strip(sheet, other)
            px0, py0, px1, py1 = sheet.on_page(sheet.window).bounds
            seam_x, seam_y = (x0 + x1) / 2, (y0 + y1) / 2
            if upright and seam_x > (px0 + px1) / 2:
                kept = box(px0, py0, seam_x, py1)
            elif not upright and seam_y < (py0 + py1) / 2:
                kept = box(px0, seam_y, px1, py1)
            else:
                continue
            left[sheet.label] = left[sheet.label].intersection(kept)
    return {sheet.label: sheet.on_floor(left[sheet.label]) for sheet in sheets}


def uncovered_when_trimmed(floor, sheets):
    """What of the tape strips and fields is lost once the sheets are cut at their seams."""
    kept = trimmed(sheets)
    shown = [sheet.filled(layer).intersection(kept[sheet.label]) for sheet in sheets for layer in ("lines", "panels")]
    gap = _left_over(unary_union([floor.taped, floor.dark]), _grown(unary_union(shown)))
    return [f"the cut sheets leave a gap {_where(gap)}"] if gap else []


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
        *lost_registration(sheets), *wrong_overlaps(sheets), *uncovered_when_trimmed(floor, sheets),
    ]
