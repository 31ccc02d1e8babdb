"""What must hold of the sheets of any layout, on layouts made from seeds. A failing test names its seed."""

import json
from collections import Counter, defaultdict
from types import SimpleNamespace

import pytest
from shapely import unary_union
from shapely.geometry import Polygon
from shapely.ops import linemerge

import kit
import proof
import random_layout
from cover_model import Instance
from cover_network import Network, NotStreets
from floor import Floor
from sheet import Sheet

SEEDS = range(25)


@pytest.fixture(scope="module", params=SEEDS, ids=lambda seed: f"seed-{seed}")
def laid(request, tmp_path_factory):
    """Plan, sheets.json, sheets without their drawing, and the number of sheets on a grid."""
    folder = tmp_path_factory.mktemp(f"seed-{request.param}")
    job = random_layout.written(request.param, folder)
    plan = json.loads(kit.asked("plan", job, "--json"))
    stated = {}
    for mode in ("lines", "grid"):
        kit.asked("stencils", job, "--mode", mode, "--yes", "-o", folder / mode)
        stated[mode] = json.loads((folder / mode / "sheets.json").read_text(encoding="utf-8"))
    return plan, stated["lines"], undrawn(stated["lines"]), stated["grid"]["count"]


def undrawn(stated):
    page = SimpleNamespace(width=stated["paper"]["width_mm"], height=stated["paper"]["height_mm"])
    return [
        Sheet(
            entry["label"], entry["page"], tuple(entry["floor_to_page"]), Polygon(entry["window"]),
            {point["id"]: (point["x_mm"], point["y_mm"]) for point in entry["registration"]},
            page, tuple(entry["cut"]), stated["overlap_mm"] / 2, entry["laid"],
        )
        for entry in stated["sheets"]
    ]


def groups(sheets):
    """Sheet label → the labels of all sheets that hang together with it through joints."""
    of = {sheet.label: {sheet.label} for sheet in sheets}
    for under, over, _ in proof.joints(sheets):
        whole = of[under.label] | of[over.label]
        for label in whole:
            of[label] = whole
    return of


def straights(axes):
    """Runs of strips: collinear ones that touch as one."""
    by_straight = defaultdict(list)
    for axis in axes:
        (x0, y0), (x1, y1) = axis.coords
        by_straight[("x", round(x0, 3)) if abs(x0 - x1) < 1e-6 else ("y", round(y0, 3))].append(axis)
    for lines in by_straight.values():
        merged = linemerge(unary_union(lines)) if len(lines) > 1 else lines[0]
        yield from getattr(merged, "geoms", [merged])


def test_everything_is_shown_once_sheets_are_cut_and_laid(laid):
    plan, _, sheets, _ = laid
    floor = Floor(plan)
    top = proof.visible(sheets)
    shown = unary_union([sheet.window.intersection(top[sheet.label]) for sheet in sheets])
    shown = shown.buffer(proof.TOLERANCE_MM, join_style="mitre")
    rest = unary_union([*floor.bands, *floor.points.values()]).difference(shown)
    assert rest.is_empty, f"not shown: {rest.bounds}, {rest.area:.3f} mm²"


def test_joints_have_two_registration_marks_of_their_own(laid):
    _, _, sheets, _ = laid
    assert not proof.wrong_joints(sheets)
    listed = Counter(name for sheet in sheets for name in sheet.registration)
    assert set(listed.values()) <= {2}, "a registration mark is on more or less than two sheets"


def test_the_sheets_of_a_line_form_one_chain(laid):
    plan, _, sheets, _ = laid
    of = groups(sheets)
    for line in straights(Floor(plan).axes):
        # Other sheets may happen to show a part of the line as well; one group has to show all of it.
        chains = {frozenset(of[sheet.label]) for sheet in sheets if sheet.window.intersects(line)}
        whole = [
            chain for chain in chains
            if line.difference(_windows(sheets, chain).buffer(proof.TOLERANCE_MM, join_style="mitre")).is_empty
        ]
        assert whole, f"the line {line.wkt} is on {sorted(map(sorted, chains))}, none of which shows it whole"


def _windows(sheets, labels):
    return unary_union([sheet.window for sheet in sheets if sheet.label in labels])


def test_a_sheet_is_alone_only_where_it_shows_its_whole_island(laid):
    plan, _, sheets, _ = laid
    floor = Floor(plan)
    content = unary_union([*floor.bands, *(at.buffer(1) for at in floor.points.values())])
    islands = list(getattr(content, "geoms", [content]))
    joined = {label for under, over, _ in proof.joints(sheets) for label in (under.label, over.label)}
    for sheet in sheets:
        if sheet.label not in joined:
            own = [island for island in islands if sheet.window.contains(island)]
            assert own, f"{sheet.label} is joined to none and shows no island whole"


def test_the_count_is_between_its_bound_and_the_grid(laid):
    plan, stated, sheets, grid = laid
    assert stated["mode"] == "lines"
    assert 1 <= stated["lower_bound"] <= stated["count"] == len(sheets) <= grid
    try:
        network = Network(Instance(plan, stated))
    except NotStreets:
        return
    least, most = network.least(), network.most()
    assert least <= stated["count"] <= most, f"{stated['count']} sheets, HiGHS says {least} to {most}"
    assert stated["lower_bound"] <= most


def test_the_seeds_make_what_they_are_for(tmp_path):
    """Crossings in the middle, branches, corners, free ends, and strips side by side, in all seeds together."""
    found = Counter()
    for seed in SEEDS:
        folder = tmp_path / str(seed)
        folder.mkdir()
        plan = json.loads(kit.asked("plan", random_layout.written(seed, folder), "--json"))
        lines = list(straights(Floor(plan).spans))
        for number, line in enumerate(lines):
            for other in lines[:number]:
                ends = sum(a.boundary.distance(a.intersection(b)) < 1e-6 for a, b in ((line, other), (other, line))) \
                    if line.intersects(other) else None
                found[{0: "crossing", 1: "branch", 2: "corner", None: "apart"}[ends]] += 1
                found["close"] += ends is None and line.distance(other) < 150
        found["free end"] += sum(sum(end.distance(other) < 1e-6 for other in lines) == 1
                                 for line in lines for end in line.boundary.geoms)
    assert all(found[what] >= 5 for what in ("crossing", "branch", "corner", "close", "free end")), found
