"""The program's number of sheets and its lower bound, held against an independent model and another solver.

The models are in cover_model.py and cover_network.py, HiGHS solves them, and each says why it errs to one side only.
"""

import json

import pytest

import kit
from cover_model import Instance, fit_one_cell, least_on_grid, most_on_grid, total
from cover_network import Network, NotStreets

# Steps of the grids of positions, mm: the lower bound loses about one step per sheet.
LEAST_STEP_MM = 10.0
MOST_STEP_MM = 20.0


def sheets_in(mode, folder, *arguments):
    kit.asked("stencils", *arguments, "--mode", mode, "--yes", "-o", folder)
    return json.loads((folder / "sheets.json").read_text(encoding="utf-8"))


def bounds_of(instance):
    """A number that no placement goes below, and one that some placement does with."""
    try:
        network = Network(instance)
        return network.least(), network.most()
    except NotStreets:
        return total(instance, least_on_grid, LEAST_STEP_MM), total(instance, most_on_grid, MOST_STEP_MM)


def test_the_number_of_sheets_lies_between_the_bounds_of_another_solver(any_kit):
    stated = any_kit.sheets
    least, most = bounds_of(Instance(any_kit.plan, stated))
    assert stated["mode"] == "lines"
    assert least <= stated["count"] <= most, f"{stated['count']} sheets, HiGHS says {least} to {most}"
    assert stated["lower_bound"] <= min(most, stated["count"]), "the stated bound is none"


def test_free_sheets_are_never_more_than_those_of_the_grid(any_kit, tmp_path, request):
    grid = sheets_in("grid", tmp_path, *request.node.callspec.params["any_kit"].arguments)
    assert grid["mode"] == "grid"
    assert any_kit.sheets["count"] <= grid["count"]
    assert any_kit.sheets["lower_bound"] <= grid["count"]


@pytest.mark.parametrize("template", ["target-line", "rear-corner-arcs"])
def test_a_full_mat_is_never_less_than_the_grid(template, tmp_path):
    grid, full = (sheets_in(mode, tmp_path / mode, "--template", template, "--paper", "A3") for mode in ("grid", "full"))
    assert grid["lower_bound"] <= grid["count"] <= full["count"]


def test_a_grid_of_positions_bounds_the_streets_as_well():
    made = kit.made("--vehicle", "city-car", "--template", "perimeter-lines", "--paper", "A4")
    instance = Instance(made.plan, made.sheets)
    network = Network(instance)
    assert total(instance, least_on_grid, 25.0) <= network.least() <= made.sheets["count"] <= network.most()


def made_up(lines, marks=(), paper=(220.0, 325.0)):
    """An instance with windows of 200 mm × 300 mm, cells of 190 mm × 290 mm."""
    ends = [at for line in lines for at in line[:2]] + list(marks)
    plan = {
        "marks": [{"id": str(k), "x_mm": x, "y_mm": y} for k, (x, y) in enumerate(ends)], "panels": [],
        "lines": [{"from": str(2 * k), "to": str(2 * k + 1), "width_mm": line[2], "past_mm": [0, 0]} for k, line in enumerate(lines)],
    }
    margins = {"left": 10.0, "right": 10.0, "top": 10.0, "bottom": 15.0}
    size = {"width_mm": paper[0], "height_mm": paper[1]}
    return Instance(plan, {"paper": size, "margins_mm": margins, "overlap_mm": 10.0})


@pytest.mark.parametrize("lines, expected", [
    # One straight: its length and 5 mm at each end over the long side, 290 mm.
    ([((0, 0), (859, 0), 20)], 3),
    ([((0, 0), (861, 0), 20)], 4),
    # A cross of arms that one cell holds; and of arms for which two cells must hold the crossing: each holds 10 mm
    # beyond the middle on one side, and reaches 280 and 180 mm on the other.
    ([((-139, 0), (139, 0), 20), ((0, -89), (0, 89), 20)], 1),
    ([((-274, 0), (274, 0), 20), ((0, -174), (0, 174), 20)], 2),
    # Corners: the cell reaches 10 mm over each strip's middle, so 280 and 180 mm are left of it.
    ([((0, 0), (274, 0), 20), ((0, 0), (0, 174), 20)], 1),
    ([((0, 0), (281, 0), 20), ((0, 0), (0, 174), 20)], 2),
])
def test_the_models_count_what_can_be_counted_by_hand(lines, expected):
    instance = made_up(lines)
    network = Network(instance)
    assert network.least() == network.most() == expected
    assert total(instance, least_on_grid, 15.0) <= expected <= total(instance, most_on_grid, 30.0)


def test_streets_refuse_what_they_have_no_answer_for():
    for lines in ([((0, 0), (900, 0), 30), ((0, 100), (900, 100), 30)], [((0, 0), (900, 900), 30)]):
        with pytest.raises(NotStreets):
            Network(made_up(lines))
    assert fit_one_cell((0, 0, 0, 0), (190, 290, 190, 290), 290, 190)
    assert not fit_one_cell((0, 0, 0, 0), (191, 291, 191, 291), 290, 190)
