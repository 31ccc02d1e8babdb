"""The lays that check a layout, worked out again with numpy and scipy from plan.json: what they prove, that each reading is
checked by the others, and that floors laid to the budget keep the limits."""

import csv
import io
import json
import math

import numpy as np
import pytest

import kit
from lay_model import AT_MARK, WHEELS, Floor, own_sd, radius_95

# What a tolerance must be at least, in 95 % radii of a mark, in standard deviations of its mistake, of the grid's shift and turn.
RADII, MARK_SDS, SHIFT_SDS, TURN_SDS = 2.0, 2.4, 3.1, 2.45
# A grid turned by this much never passes, whatever its marks' tolerances.
NEVER_DEG = 0.2
# Baarda: 0.1 % and 80 %.
DELTA = 4.132148
LARGEST_HIDDEN_MM = 10
DRAWS = 20_000


@pytest.fixture
def floor(any_kit):
    return Floor(any_kit.plan, any_kit.sheets)


def crosses(a, b, low, high):
    """A straight line from a to b enters the inside of a rectangle: clipped to it, something is left."""
    start, end = 0.0, 1.0
    for axis in (0, 1):
        step = b[axis] - a[axis]
        if abs(step) < 1e-9:
            if not low[axis] < a[axis] < high[axis]:
                return False
            continue
        parts = sorted(((low[axis] - a[axis]) / step, (high[axis] - a[axis]) / step))
        start, end = max(start, parts[0]), min(end, parts[1])
    return end - start > 1e-9


def test_what_is_proven_of_each_mark_and_of_the_grid_follows_from_the_lays(floor):
    proof = floor.plan["proof"]
    rows, poses, noise = floor.system()
    posterior = floor.posterior(rows, noise)
    # With a pose that may be anything, what the readings say of it.
    free = floor.posterior(np.hstack([rows, poses]), noise, np.array([*floor.variances, 1e8, 1e8, 1e8]))
    forward, left, turn = np.sqrt(np.diag(free)[-3:])
    # What a turn moves a mark by, per mm per metre; half of the turn that never passes counts for at least its tolerance.
    far = np.hypot(*(floor.places - floor.places.mean(axis=0)).T) / 1000
    reach = np.maximum(far, floor.tolerances / (1000 * math.radians(NEVER_DEG / 2)))
    assert proof["grid"]["forward_mm"] == pytest.approx(SHIFT_SDS * forward, rel=2e-3)
    assert proof["grid"]["left_mm"] == pytest.approx(SHIFT_SDS * left, rel=2e-3)
    assert proof["grid"]["turn_mm"] == pytest.approx(TURN_SDS * turn * reach.max(), rel=2e-3)
    for index, mark in enumerate(proof["marks"]):
        moves = floor.moves(mark["id"])
        radius = radius_95(moves @ posterior @ moves.T)
        assert mark["radius_mm"] == pytest.approx(radius, rel=1e-3), mark["id"]
        # A mistake of laying is what the readings alone say of the mark's own part, less what its laying scatters.
        variances = floor.variances.copy()
        own = slice(5 + 2 * index, 7 + 2 * index)
        variances[own] = 1e8
        alone = floor.posterior(rows, noise, variances)[own, own] + np.diag(floor.variances[own])
        mistake = math.sqrt(np.linalg.eigvalsh(alone)[1])
        grid = max(SHIFT_SDS * forward, SHIFT_SDS * left, TURN_SDS * turn * reach[index])
        provable = max(RADII * radius, MARK_SDS * mistake, grid)
        assert mark["provable_mm"] == pytest.approx(provable, rel=2e-3), mark["id"]
        assert mark["proven"] == (mark["provable_mm"] <= mark["tolerance_mm"])
        assert mark["tolerance_mm"] == floor.tolerances[index]


def test_every_demonstration_tolerance_is_proven_in_few_lays(floor):
    proof = floor.plan["proof"]
    assert all(mark["proven"] for mark in proof["marks"]) and proof["would_take"] == []
    assert len(floor.plan["lays"]) == proof["lays"] <= 20
    assert len(floor.plan["checks"]) == proof["readings"] <= 40


def test_every_reading_is_checked_by_the_others(floor):
    rows, _, noise = floor.system()
    told = np.linalg.inv(rows @ np.diag(floor.variances) @ rows.T + noise)
    for index, check in enumerate(floor.plan["checks"]):
        own = own_sd(check)
        redundancy = own**2 * told[index, index]
        assert own * DELTA / math.sqrt(redundancy) <= LARGEST_HIDDEN_MM * (1 + 1e-6), check["id"]
        zero = AT_MARK if check["kind"] in ("distance", "vehicle") else 0
        assert check["sd_mm"] == pytest.approx(math.hypot(own, zero), abs=1e-4)


def test_nine_floors_of_ten_that_are_laid_to_the_budget_keep_all_limits(floor):
    rows, _, noise = floor.system()
    dice = np.random.default_rng(7)
    laid = dice.standard_normal((DRAWS, floor.count)) * np.sqrt(floor.variances)
    read = laid @ rows.T + dice.multivariate_normal(np.zeros(len(rows)), noise, DRAWS)
    limits = np.array([check["limit_mm"] for check in floor.plan["checks"]])
    assert np.mean(np.all(np.abs(read) <= limits, axis=1)) >= 0.90
    # And not many more: each limit is the next half mm above what that takes.
    assert np.mean(np.all(np.abs(read) <= limits - 0.5, axis=1)) < 0.93
    assert np.all(limits % 0.5 == 0)


def test_lays_run_free_of_wheels_straight_and_in_the_order_of_walking(floor):
    plan = floor.plan
    checks = {check["id"]: check for check in plan["checks"]}
    assert list(checks) == [str(number + 1) for number in range(len(checks))]
    assert [id for lay in plan["lays"] for id in lay["readings"]] == list(checks)
    assert [lay["lay"] for lay in plan["lays"]] == list(range(1, len(plan["lays"]) + 1))
    below = [lay["below_body"] for lay in plan["lays"]]
    assert below == sorted(below), "what one crawls for comes together at the end"
    dimensions = plan["vehicle"]["dimensions_mm"]
    half = dimensions["tyre_width"] / 2
    axles = {"WFL": dimensions["front_track"], "WFR": -dimensions["front_track"],
             "WRL": dimensions["rear_track"], "WRR": -dimensions["rear_track"]}
    # One crawls for what lies further in than the tyres' outer faces.
    side = min(dimensions["overall_width"] / 2 - 50, *(abs(at[1]) for at in floor.wheels.values()))
    for lay in plan["lays"]:
        start, end = floor.place(lay["from"]), floor.place(lay["to"])
        along_tyres = lay["kind"] == "string" and lay["from"] in WHEELS
        for name, track in axles.items():
            x, y = floor.wheels[name][0], track / 2
            # A strip of floor that a tyre's width takes at its wheel centre, whatever its diameter; of the wheel that the tape
            # begins at, what stands on the floor.
            long, wide = (100, half - 15) if lay["from"] == name else (200, half)
            low, high = (x - long, y - wide), (x + long, y + wide)
            # A string along the tyres touches them from outside.
            assert along_tyres or not crosses(start, end, low, high), f"{lay['lay']} runs through {name}"
        body = (floor.rear + 50, -side), (floor.front - 50, side)
        assert along_tyres or lay["below_body"] == crosses(start, end, *body)
        for id in lay["readings"]:
            check = checks[id]
            assert check["lay"] == lay["lay"]
            mark = check["from"] if lay["kind"] == "string" else check["to"]
            along = (end - start) / np.hypot(*(end - start))
            beside = along[0] * (floor.place(mark) - start)[1] - along[1] * (floor.place(mark) - start)[0]
            if along_tyres:
                assert (check["kind"], check["to"]) == ("inline", f"{lay['from']}..{lay['to']}")
                assert check["distance_mm"] == pytest.approx(beside, abs=1e-3) and beside >= 100
                continue
            assert abs(beside) <= 0.5
            if lay["kind"] == "string":
                assert (check["kind"], check["to"], check["distance_mm"]) == ("inline", f"{lay['from']}..{lay['to']}", 0)
            else:
                assert check["kind"] == ("vehicle" if lay["from"] in WHEELS else "distance")
                assert check["distance_mm"] == pytest.approx(np.hypot(*(floor.place(mark) - start)), abs=1e-3)
    assert sum(check["kind"] == "vehicle" or "W" in check["to"] for check in checks.values()) >= 4


def test_the_quick_plan_is_less_work_and_says_what_it_is_worth():
    full, quick = (json.loads(kit.asked("plan", "--checks", word, "--json")) for word in ("full", "quick"))
    assert quick["proof"]["minutes"] < full["proof"]["minutes"]
    assert quick["proof"]["times_tolerance"] == 2
    assert all(mark["provable_mm"] <= 2 * mark["tolerance_mm"] for mark in quick["proof"]["marks"])
    assert "does not prove the tolerance itself" in kit.asked("plan", "--checks", "quick")


def test_the_form_is_the_plan_row_by_row(any_kit):
    rows = list(csv.DictReader(io.StringIO(any_kit.read("readings.csv"))))
    for row, check in zip(rows, any_kit.plan["checks"], strict=True):
        assert [row["lay"], row["check"], row["kind"], row["from"], row["to"]] == [
            str(check["lay"]), check["id"], check["kind"], check["from"], check["to"]]


def test_no_pull_is_longer_than_the_tape_of_the_job():
    plan = json.loads(kit.asked("plan", "--longest-pull", "5m", "--json"))
    assert all(check["distance_mm"] <= 5000 for check in plan["checks"])


def test_what_cannot_be_proven_is_said_with_what_it_would_take():
    plan = json.loads(kit.asked("plan", "--set", "tolerance=4mm", "--json"))
    proof = plan["proof"]
    assert any(not mark["proven"] for mark in proof["marks"])
    assert proof["would_take"][-1] == "decision_simple"
    text = kit.asked("plan", "--set", "tolerance=4mm")
    assert "cannot be proven" in text and "It would take" in text


def test_how_the_marks_are_laid_is_the_jobs_word(tmp_path):
    job = tmp_path / "job.toml"
    text = 'format = "job/1"\nvehicle = "delivery-van"\ntemplate = "perimeter-lines"\n'
    job.write_text(text)

    def plan():
        # Without the hash of the job's text, which differs in any case.
        return {**json.loads(kit.asked("plan", job, "--json")), "input": None}

    plain = plan()
    job.write_text(text + 'laid_by = "sheets"\n')
    assert plan() == plain
    job.write_text(text + 'laid_by = "roll"\n')
    assert plan() != plain
    job.write_text(text + 'laid_by = "hand"\n')
    done = kit.run("plan", job)
    assert done.returncode != 0 and '"tape"' in done.stderr
