"""No line runs through what is read: on all sheets of all vehicles and templates, papers, units, modes, rolls and mats."""

import pytest
from shapely import linestrings
from shapely.strtree import STRtree

import kit
import vectors

INCHES = ("--units", "inch", "--paper", "letter")
MAT = ("--vehicle", "city-car", "--vehicle", "estate", "--vehicle", "delivery-van")
TEMPLATES = kit.names("templates")

KITS = {
    f"{vehicle} {template} inch": ("--vehicle", vehicle, "--template", template, *INCHES)
    for vehicle in kit.names("vehicles") for template in TEMPLATES
}
KITS |= {f"{mode} {units}": ("--mode", mode, "--units", units) for mode in ("grid", "keys") for units in ("mm", "inch")}
KITS |= {"full": ("--mode", "full", "--template", "target-line", *INCHES)}
KITS |= {f"roll {template}": ("--roll", "36in", "--units", "inch", "--template", template) for template in TEMPLATES}
# A mat's overview on A4 is drawn so small beside its three tables that some names find no clear place.
STRUCK = {"mat": 9}
KITS |= {"mat": MAT, "mat inch": (*MAT, *INCHES), "mat roll": (*MAT, "--roll", "36in", "--units", "inch")}


def struck(path):
    """Texts whose middle half a stroke crosses, with the pages that they stand on and the strokes' layers."""
    found = []
    for number, page in enumerate(vectors.read(path), 1):
        # A quarter of the capitals' height off each side leaves their middle half.
        cores = [text.box.buffer(-0.25 * text.cap_height) for text in page.texts]
        drawn = [(stroke.layer, segment) for stroke in page.strokes for segment in stroke.segments()]
        if cores and drawn:
            pairs = STRtree(cores).query(linestrings([segment for _, segment in drawn]), predicate="intersects").T
            found += [(path.name, number, page.texts[core].content, drawn[line][0]) for line, core in pairs]
    return found


def assert_clean(made, most=0):
    paths = [made.path(name) for name in kit.PDFS]
    assembly = made.path("assembly.pdf")
    found = [fault for path in [*paths, assembly] if path.is_file() for fault in struck(path)]
    assert len(found) <= most, (len(found), found[:12])


def test_no_line_runs_through_the_lettering_of_any_kit_in_mm(any_kit):
    assert_clean(any_kit)


@pytest.mark.parametrize("name", KITS)
def test_no_line_runs_through_the_lettering_of_inch_kits_other_modes_rolls_and_mats(name):
    assert_clean(kit.made(*KITS[name]), STRUCK.get(name, 0))
