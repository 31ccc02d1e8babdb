"""The floor put together again on papers, margins and layouts beyond the shipped ones."""

from pathlib import Path

import pytest

import kit
import proof
import sheet as sheet_module
from floor import Floor

INPUTS = Path(__file__).parent / "inputs"

# Paper in mm (ISO 216: A3 297 × 420; ASME Y14.1: B, "Tabloid", 11 × 17 in) and margins left, right, top, bottom.
CASES = {
    "A3": (("--paper", "A3"), (297.0, 420.0), (10, 10, 10, 15)),
    "Tabloid": (("--paper", "Tabloid"), (279.4, 431.8), (10, 10, 10, 15)),
    "A5": (("--paper", "148 mm x 210 mm", "--template", "target-line"), (148.0, 210.0), (10, 10, 10, 15)),
    # Slanting lines, a one-sided point, a turned panel, another printer; 1/2 in = 12.7 mm.
    "slanting": ((str(INPUTS / "job.toml"),), (215.9, 279.4), (18, 14, 12.7, 20)),
}


@pytest.fixture(scope="module", params=CASES, ids=str)
def case(request):
    arguments, size, margins = CASES[request.param]
    made = kit.made(*arguments)
    sheets, first_pages = sheet_module.sheets_of(made)
    return made, sheets, first_pages, size, margins


def test_paper_and_margins_are_what_was_asked_for(case):
    made, _, _, (width, height), margins = case
    paper = made.sheets["paper"]
    assert (paper["width_mm"], paper["height_mm"]) == pytest.approx((width, height), abs=1e-6)
    stated = made.sheets["margins_mm"]
    assert tuple(stated[side] for side in ("left", "right", "top", "bottom")) == pytest.approx(margins)


def test_the_floor_comes_together_again(case):
    made, sheets, _, _, _ = case
    floor = Floor(made.plan)
    faults = proof.all_faults(floor, sheets)
    assert not faults, "\n".join(map(str, faults[:20]))


def test_nothing_lies_in_the_margins(case):
    _, sheets, first_pages, (width, height), (left, right, top, bottom) = case
    pages = [(f"page {number}", page) for number, page in enumerate(first_pages, 1)]
    pages += [(f"sheet {sheet.label}", sheet.page) for sheet in sheets]
    faults = proof.outside(pages, (left, bottom, width - right, height - top))
    assert not faults, "\n".join(map(str, faults[:20]))
