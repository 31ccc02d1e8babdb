"""Check plans, worked out again with numpy and scipy from coordinates and tolerances: what they find, and their limits."""

import csv
import io
import json
import math

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.stats import chi2, ncx2, norm

import kit

ALPHA, POWER = 0.001, 0.80
# 1.645, from tables of the normal distribution.
GUARD = norm.ppf(0.95)
DELTA = norm.ppf(1 - ALPHA / 2) + norm.ppf(POWER)
LAMBDA = brentq(lambda nc: ncx2.sf(chi2.ppf(1 - ALPHA, 2), 2, nc) - POWER, 1, 60)
LEAST_REDUNDANCY = 0.1
NOT_HELD_MM = 1000


def deviation(length):
    """A class II tape (MI-008: 0.3 + 0.2 L, L in whole metres rounded up) rectangular over √3, 0.5 mm of reading and a mark 1 mm wide
    (rectangular) at both ends."""
    tape = (0.3 + 0.2 * math.ceil(length / 1000 - 1e-9)) / math.sqrt(3)
    return math.sqrt(tape**2 + 2 * 0.5**2 + 2 * 0.5**2 / 3)


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


class Network:
    """Distances between marks, each with its own standard deviation."""

    def __init__(self, plan, pulls):
        self.ids = [mark["id"] for mark in plan["marks"]]
        self.places = np.array([[mark["x_mm"], mark["y_mm"]] for mark in plan["marks"]])
        self.rows = np.zeros((len(pulls), 2 * len(self.ids)))
        self.sd = np.array([deviation(pull["distance_mm"]) for pull in pulls])
        for row, pull in zip(self.rows, pulls):
            a, b = self.ids.index(pull["from"]), self.ids.index(pull["to"])
            along = self.places[b] - self.places[a]
            along = along / np.hypot(*along)
            row[2 * a : 2 * a + 2], row[2 * b : 2 * b + 2] = -along, along
        scaled = self.rows / self.sd[:, None]
        # Whatever is loose is known to ten metres only.
        self.cofactors = np.linalg.inv(scaled.T @ scaled + 1e-8 * np.eye(scaled.shape[1]))
        x, y = self.places.T / 1000
        self.rigid = np.zeros((2 * len(x), 3))
        self.rigid[0::2, 0] = self.rigid[1::2, 1] = 1
        self.rigid[0::2, 2], self.rigid[1::2, 2] = -y, x

    def detectable(self, mark):
        """Half axes of the ellipse of smallest displacements found, the larger first, and the direction of that one."""
        others = np.repeat(np.arange(len(self.ids)) != mark, 2)
        fit = np.linalg.lstsq(self.rigid[others], np.eye(2 * len(self.ids))[others], rcond=None)[0]
        against = (np.eye(2 * len(self.ids)) - self.rigid @ fit)[2 * mark : 2 * mark + 2]
        values, vectors = np.linalg.eigh(against @ self.cofactors @ against.T)
        return math.sqrt(LAMBDA * values[1]), math.sqrt(LAMBDA * max(values[0], 0)), vectors[:, 1]

    def redundancies(self):
        return 1 - np.einsum("ij,jk,ik->i", self.rows, self.cofactors, self.rows) / self.sd**2


@pytest.mark.parametrize("name", ["quick", "full"])
def test_smallest_detectable_displacements_and_redundancies_are_those_of_the_network(any_kit, name):
    checks = any_kit.plan["check_plans"][name]
    taped = [pull for pull in checks["pulls"] if pull["reachable"]]
    network = Network(any_kit.plan, taped)
    for pull, redundancy, sd in zip(taped, network.redundancies(), network.sd):
        assert pull["sd_mm"] == pytest.approx(sd, abs=1e-5)
        assert pull["redundancy"] == pytest.approx(redundancy, abs=1e-4), pull["id"]
        if redundancy > 0.01:
            assert pull["detectable_error_mm"] == pytest.approx(sd * DELTA / math.sqrt(redundancy), rel=1e-3)
    assert all(pull["redundancy"] is None for pull in checks["pulls"] if not pull["reachable"])
    for index, mark in enumerate(checks["marks"]):
        worst, least, direction = network.detectable(index)
        if mark["worst_mm"] is None:
            assert worst > NOT_HELD_MM
            continue
        assert mark["worst_mm"] == pytest.approx(worst, rel=1e-3), mark["id"]
        assert mark["least_mm"] == pytest.approx(least, rel=1e-3), mark["id"]
        assert mark["proven"] == (mark["worst_mm"] <= mark["tolerance_mm"])
        if worst > 1.02 * least:
            turn = math.radians(mark["worst_direction_deg"])
            assert abs(direction @ [math.cos(turn), math.sin(turn)]) == pytest.approx(1, abs=1e-3)


def test_the_full_plan_proves_what_reachable_distances_can_prove(any_kit):
    checks = any_kit.plan["check_plans"]["full"]
    assert checks["lower_bound"] <= checks["count"] <= checks["candidates"]
    assert all(pull["reachable"] and pull["redundancy"] >= LEAST_REDUNDANCY - 1e-6 for pull in checks["pulls"])
    unmet = {mark["id"]: mark["best_mm"] for mark in checks["unmet"]}
    ids = list(any_kit.marks)
    dimensions = any_kit.plan["vehicle"]["dimensions_mm"]
    half = dimensions["tyre_width"] / 2
    for mark in checks["marks"]:
        assert mark["proven"] or mark["id"] in unmet
    # No chosen line enters the strip of floor that a tyre's width takes at a wheel centre, whatever its diameter.
    wheels = [(0, s * dimensions["front_track"] / 2) for s in (1, -1)]
    if any_kit.plan["template"]["origin"] == "between the front wheel centres":
        wheels += [(-dimensions["wheelbase_left"], dimensions["rear_track"] / 2), (-dimensions["wheelbase_right"], -dimensions["rear_track"] / 2)]
        for pull in checks["pulls"]:
            for x, y in wheels:
                ends = any_kit.marks[pull["from"]], any_kit.marks[pull["to"]]
                assert not crosses(*ends, (x - 200, y - half), (x + 200, y + half)), pull["id"]
    assert set(unmet) <= set(ids)


@pytest.mark.parametrize("name", ["quick", "full"])
def test_limits_keep_a_guard_band_of_95_percent(any_kit, name):
    tolerance = {mark["id"]: mark["tolerance_mm"] for mark in any_kit.plan["marks"]}
    for pull in any_kit.plan["check_plans"][name]["pulls"]:
        allowed = max(tolerance[pull["from"]], tolerance[pull["to"]])
        guard = GUARD * deviation(pull["distance_mm"])
        assert pull["tolerance_mm"] == allowed
        accept = allowed - guard
        if accept < 0.1:
            assert pull["limit_mm"] is None
        else:
            assert accept - 0.1 < pull["limit_mm"] <= accept + 1e-6
        assert allowed + guard - 1e-6 <= pull["reject_mm"] < allowed + guard + 0.1
        assert pull["expected_mm"] > norm.ppf(0.975) * deviation(pull["distance_mm"])


def test_the_plan_in_use_is_the_one_on_every_paper(any_kit):
    full = {pull["id"]: pull for pull in any_kit.plan["check_plans"]["full"]["pulls"]}
    assert [check["id"] for check in any_kit.plan["checks"]] == list(full)
    for check in any_kit.plan["checks"]:
        assert check["limit_mm"] == full[check["id"]]["limit_mm"]


def test_the_quick_plan_is_taken_when_it_is_asked_for():
    made = kit.made("--checks", "quick", "--check-picture")
    quick = made.plan["check_plans"]["quick"]["pulls"]
    assert [check["id"] for check in made.plan["checks"]] == [pull["id"] for pull in quick]
    rows = list(csv.DictReader(io.StringIO(made.read("readings.csv"))))
    assert [row["check"] for row in rows if row["kind"] != "vehicle"] == [pull["id"] for pull in quick]
    assert made.path("checks.pdf").is_file() and made.path("checks.svg").is_file()


def test_no_pull_is_longer_than_the_tape_of_the_job():
    plan = json.loads(kit.asked("plan", "--longest-pull", "5m", "--json"))
    assert all(pull["distance_mm"] <= 5000 for pull in plan["check_plans"]["full"]["pulls"])
    for pull in plan["check_plans"]["quick"]["pulls"]:
        assert pull["distance_mm"] <= 5000 or not pull["reachable"]


def test_distances_from_the_wheels_find_a_layout_that_is_shifted_or_turned(any_kit):
    against = any_kit.plan["check_plans"]["full"]["against_vehicle"]
    normal = np.zeros((3, 3))
    for check in any_kit.plan["vehicle_checks"]:
        wheel, mark = np.array(check["wheel_mm"]), np.array(any_kit.marks[check["mark"]])
        assert check["distance_mm"] == pytest.approx(np.hypot(*(mark - wheel)), abs=1e-3)
        along = (mark - wheel) / np.hypot(*(mark - wheel))
        row = np.array([*along, (mark[0] * along[1] - mark[1] * along[0]) / 1000])
        # A wheel mark is plumbed to 1 mm.
        normal += np.outer(row, row) / (deviation(check["distance_mm"]) ** 2 + 1)
    if against is None:
        assert np.linalg.matrix_rank(normal, tol=1e-9) < 3
        return
    forward, left, turned = DELTA * np.sqrt(np.diag(np.linalg.inv(normal)))
    assert against["forward_mm"] == pytest.approx(forward, rel=1e-3)
    assert against["left_mm"] == pytest.approx(left, rel=1e-3)
    assert against["turned_deg"] == pytest.approx(math.degrees(turned / 1000), rel=1e-2)
