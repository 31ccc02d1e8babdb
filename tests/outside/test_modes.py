"""The floor put together again in every mode; the default one is proven on all kits in test_floor_again.py."""

from dataclasses import replace
from pathlib import Path

import pytest

import kit
import proof
import sheet as sheet_module
from floor import Floor

INPUTS = Path(__file__).parent / "inputs"
SLANTING = str(INPUTS / "job.toml")
PANELS = ("--template", "side-and-end-panels")

# Larger paper where a mode shows every blank sheet as well.
CASES = {
    "lines": ("--mode", "lines"),
    "lines, wide overlap": ("--mode", "lines", "--overlap", "30", "--paper", "A3"),
    "lines, slanting": ("--mode", "lines", "--overlap", "20", SLANTING),
    "lines, panels": ("--mode", "lines", *PANELS, "--paper", "Letter", "--overlap", "8"),
    "lines, close strips": ("--mode", "lines", str(INPUTS / "close-strips" / "job.toml")),
    "grid": ("--mode", "grid"),
    "grid, slanting": ("--mode", "grid", SLANTING),
    "grid, panels": ("--mode", "grid", *PANELS, "--paper", "Letter", "--overlap", "20"),
    "full": ("--mode", "full", "--paper", "600 mm x 900 mm"),
    "full, slanting": ("--mode", "full", "--paper", "500 mm x 700 mm", SLANTING),
}


@pytest.fixture(scope="module", params=CASES, ids=str)
def case(request):
    made = kit.made(*CASES[request.param])
    sheets, first_pages = sheet_module.sheets_of(made)
    return made, Floor(made.plan), sheets, first_pages


def recut(sheets, **changes):
    return [replace(sheet, **changes) for sheet in sheets]


def test_the_floor_comes_together_again(case):
    _, floor, sheets, _ = case
    faults = proof.all_faults(floor, sheets)
    assert not faults, "\n".join(faults[:20])


def test_nothing_lies_in_the_margins(case):
    made, _, sheets, first_pages = case
    paper, margins = made.sheets["paper"], made.sheets["margins_mm"]
    printable = (
        margins["left"], margins["bottom"], paper["width_mm"] - margins["right"], paper["height_mm"] - margins["top"]
    )
    pages = [(f"page {number}", page) for number, page in enumerate(first_pages, 1)]
    faults = proof.outside(pages + [(f"sheet {sheet.label}", sheet.page) for sheet in sheets], printable)
    assert not faults, "\n".join(map(str, faults[:20]))


def test_the_count_is_within_its_bound(case):
    made, _, sheets, _ = case
    assert made.sheets["count"] == len(sheets) >= made.sheets["lower_bound"] >= 1


def test_a_nudged_page_would_be_noticed(case):
    _, floor, sheets, _ = case
    showing = [index for index, sheet in enumerate(sheets) if sheet.registration]
    for index in showing[:: max(1, len(showing) // 2)]:
        for nudge in [(0.1, 0), (0, -0.1)]:
            changed = [*sheets[:index], sheets[index].moved(*nudge), *sheets[index + 1 :]]
            # The sheet alone shows that it lies where the plan has nothing; its neighbours need not be asked again.
            faults = proof.unplanned(floor, [changed[index]]) or proof.lost_registration(changed)
            assert faults, f"{sheets[index].label} moved by {nudge} mm went unnoticed"


def test_sheets_laid_without_being_cut_would_be_noticed(case):
    _, floor, sheets, _ = case
    assert proof.hidden_once_laid(floor, recut(sheets, cut=()))
    assert proof.wrong_cuts(recut(sheets, cut=()))
    assert proof.wrong_joints(recut(sheets, cut=()))


def test_sheets_cut_too_deep_or_in_another_order_would_be_noticed(case):
    _, floor, sheets, _ = case
    depth = sheets[0].cut_depth
    deep = recut(sheets, cut_depth=depth + 0.1)
    assert proof.wrong_cuts(deep) and proof.wrong_joints(deep)
    backwards = [replace(sheet, laid=-sheet.laid) for sheet in sheets]
    assert proof.hidden_once_laid(floor, backwards), "margins on top of the layout went unnoticed"
