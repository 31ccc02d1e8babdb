"""Random seeded networks through `check`, against a second opinion by scipy: see network_model.py."""

import json
import random

import numpy as np
import pytest
from scipy import stats

import kit
from network_model import CRITICAL, Adjusted, Network, Reading, checked, ellipse, readings_toml
from pairs import BETWEEN_MARKS, FROM_WHEELS

# The program prints to 1e-6 mm and ends its steps at 1e-10 of the extent, some metres; scipy's solution is polished to less.
NEAR_MM = 1e-4
RELATIVE = 1e-5

# Redundancy below this is next to none: w and mdb are then quotients of rounding errors.
CHECKED = 1e-3

SEEDS = range(1, 31)


def truth(dice, count):
    """Marks of a bay of 9 m × 5 m, none nearer than 300 mm to another."""
    places = {}
    while len(places) < count:
        place = dice.uniform(-6500, 2500), dice.uniform(-2500, 2500)
        if all(np.hypot(place[0] - x, place[1] - y) > 300 for x, y in places.values()):
            places[f"M{len(places) + 1}"] = place
    return places


def taped(dice, places):
    """Each mark by some distances to earlier ones, besides offsets from lines and marks on a string; noise as promised."""
    names, readings = list(places), []
    for index, name in enumerate(names[1:], 1):
        for other in dice.sample(names[:index], min(index, 5)):
            readings.append(reading(dice, places, "distance", (name, other)))
    for _ in range(len(names) // 3):
        mark, a, b = dice.sample(names, 3)
        if np.hypot(*np.subtract(places[a], places[b])) > 2000:
            readings.append(reading(dice, places, "offset", (mark, a, b)))
    dice.shuffle(readings)
    return readings


def reading(dice, places, kind, marks):
    sigma = dice.uniform(0.5, 2.5)
    exact = Reading(kind, marks, 0.0, sigma).computed(places)
    return Reading(kind, marks, float(exact) + dice.gauss(0, sigma), sigma)


def on_strings(dice, places, readings, count):
    """Adds marks that truly lie on the line between two others, and says so by `inline`; two distances hold them along it."""
    names = list(places)
    for index in range(count):
        a, b = max((dice.sample(names, 2) for _ in range(5)), key=lambda pair: np.hypot(*np.subtract(places[pair[0]], places[pair[1]])))
        part, sigma = dice.uniform(0.3, 0.7), dice.uniform(0.4, 0.8)
        along = np.subtract(places[b], places[a])
        across = np.array([-along[1], along[0]]) / np.hypot(*along)
        # The reading is nought by definition, so the chance lies in where the mark is.
        places[f"S{index}"] = tuple(places[a] + part * along + dice.gauss(0, sigma) * across)
        readings.append(Reading("inline", (a, f"S{index}", b), 0.0, sigma))
        for other in dice.sample(names, 3):
            readings.append(reading(dice, places, "distance", (f"S{index}", other)))


def random_network(seed, fixed):
    dice = random.Random(seed * 1009 + fixed)
    places = truth(dice, dice.choice([4, 5, 7, 10, 14, 20, 28, 36]))
    readings = taped(dice, places)
    on_strings(dice, places, readings, min(4, len(places) // 4))
    kept = set(dice.sample(list(places), fixed))
    # A third starts where it should be but for millimetres, a third decimetres away, a third up to metres.
    reach = [5.0, 150.0, 1500.0][seed % 3]
    off = lambda name: 0.0 if name in kept else dice.uniform(-reach, reach)
    marks = {name: (x + off(name), y + off(name)) for name, (x, y) in places.items()}
    return Network(marks, readings, kept), places


def compared(network, places, found):
    """Coordinates, deviations, residuals and tests, where need be of what is left when suspects are set aside."""
    aside = {row["reading"] for row in found["suspects"]} if found["dof"] > 1 else set()
    assert {i for i, row in enumerate(found["readings"]) if row["suspect"]} == aside
    whole = Adjusted(network, places)
    kept = Adjusted(network.without(aside), places) if aside else whole
    if not aside:
        assert np.nanmax(np.abs(np.where(whole.redundancy > CHECKED, whole.w, 0))) < CRITICAL + 1e-6 or whole.dof == 1
    assert found["datum"] == {0: "free", 1: "partly fixed"}.get(len(network.fixed), "fixed")
    assert found["dof"] == kept.dof
    assert found["sigma0"] == pytest.approx(kept.sigma0, abs=1e-5)
    test = found["global_test"]
    assert [test["statistic"], test["lower"], test["upper"]] == pytest.approx([kept.squares, *kept.bounds()], rel=1e-5, abs=1e-5)
    assert test["passed"] == (kept.squares <= kept.bounds()[1])
    for mark in found["marks"]:
        compared_mark(mark, kept)
    rows = iter(zip(kept.residuals, kept.w, kept.redundancy))
    for index, row in enumerate(found["readings"]):
        redundancy = whole.redundancy[index]
        assert row["redundancy"] == pytest.approx(redundancy, abs=1e-5)
        if redundancy > CHECKED:
            assert row["mdb_mm"] == pytest.approx(whole.mdb[index], rel=1e-3 if redundancy < 0.05 else RELATIVE * 10)
        if index not in aside:
            residual, w, left = next(rows)
            assert row["residual_mm"] == pytest.approx(residual, abs=NEAR_MM)
            if left > CHECKED:
                assert row["w"] == pytest.approx(w, abs=1e-3)
    return aside


def compared_mark(mark, second):
    name = mark["id"]
    assert (mark["x_mm"], mark["y_mm"]) == pytest.approx(tuple(second.place(name)), abs=NEAR_MM), name
    prior = second.covariance(name)
    posterior = prior * second.sigma0**2
    for covariance, x, y in [(prior, "sd_x_a_priori_mm", "sd_y_a_priori_mm"), (posterior, "sd_x_mm", "sd_y_mm")]:
        assert (mark[x], mark[y]) == pytest.approx(tuple(np.sqrt(np.diag(covariance))), abs=NEAR_MM, rel=RELATIVE), name
    # 95 %: χ² with 2 degrees of freedom a priori, 2 F(2, f) where the variance itself comes from f residuals.
    for key, covariance, squared in [
        ("ellipse_a_priori", prior, stats.chi2.ppf(0.95, 2)),
        ("ellipse", posterior, 2 * stats.f.ppf(0.95, 2, second.dof)),
    ]:
        major, minor, bearing = ellipse(covariance, squared)
        found = mark[key]
        assert (found["major_mm"], found["minor_mm"]) == pytest.approx((major, minor), abs=NEAR_MM * 5, rel=RELATIVE), name
        if major > 1.01 * minor:
            turned = (found["bearing_deg"] - bearing + 90) % 180 - 90
            assert abs(turned) < 0.05, (name, key)


@pytest.mark.parametrize("fixed", [0, 1, 2, 4])
def test_random_networks_agree_with_scipy(fixed):
    suspects = total = 0
    for seed in SEEDS:
        network, places = random_network(seed, fixed)
        found = network.checked()
        suspects += len(compared(network, places, found))
        total += len(network.readings)
    # 0.1 % of the readings are suspected by chance.
    assert suspects <= 0.001 * total + 4 * np.sqrt(0.001 * total), f"{suspects} of {total}"


def test_the_grids_pose_against_the_wheels_agrees_with_scipy():
    """The demonstration job, laid turned and shifted, tied to the plumbed wheel marks by tape."""
    plan = json.loads(kit.asked("plan", "--json"))
    design = {mark["id"]: (mark["x_mm"], mark["y_mm"]) for mark in plan["marks"]}
    wheels = wheel_marks(plan)
    for seed in range(1, 13):
        dice = random.Random(seed)
        turn, shift = np.radians(dice.uniform(-0.4, 0.4)), (dice.uniform(-15, 15), dice.uniform(-15, 15))
        c, s = np.cos(turn), np.sin(turn)
        laid = {name: (c * x - s * y + shift[0], s * x + c * y + shift[1]) for name, (x, y) in design.items()}
        places = laid | {name: (x + dice.gauss(0, 1), y + dice.gauss(0, 1)) for name, (x, y) in wheels.items()}
        readings = [reading(dice, places, "distance", pair) for pair in BETWEEN_MARKS + FROM_WHEELS]
        for wheel in wheels:
            readings += [reading(dice, places, "distance", (wheel, mark)) for mark in dice.sample(list(design), 5)]
        found = checked('format = "readings/1"\n' + readings_toml(readings), "--no-prior")
        # What the vehicle's dimensions say of the wheel marks is an observation as well, plumbed to 1 mm.
        own = [Reading(axis, (name,), wheels[name]["xy".index(axis)], 1.0) for name in wheels for axis in "xy"]
        # The program names wheel marks in its own order.
        order = [(row["axis"], row["from"]) for row in found["readings"] if row["kind"] == "vehicle"]
        own.sort(key=lambda one: order.index((one.kind, one.marks[0])))
        network = Network(design | wheels, readings + own)
        aside = {row["reading"] for row in found["suspects"]}
        second = Adjusted(network.without(aside), places)
        assert (found["dof"], found["datum"]) == (second.dof, "fixed")
        for mark in found["marks"]:
            compared_mark(mark, second)
        compared_pose(found, design, second)


def wheel_marks(plan):
    """Below the tyres' outer faces at the wheel centres, from the vehicle's dimensions; origin between the front ones."""
    size = plan["vehicle"]["dimensions_mm"]
    back = {"F": 0.0, "L": -size["wheelbase_left"], "R": -size["wheelbase_right"]}
    out = {"F": size["front_track"], "R": size["rear_track"]}
    return {
        f"W{axle}{side}": (
            back["F"] if axle == "F" else back[side],
            (1 if side == "L" else -1) * (out[axle] + size["tyre_width"]) / 2,
        )
        for axle in "FR" for side in "LR"
    }


def compared_pose(found, design, second):
    """The pose is the best rigid fit, without scale, of the designed places of the marks; one that is displaced counts only where
    it is surely inside its tolerance all the same."""
    of_design = [mark for mark in found["marks"] if mark["id"] in design]
    kept = [mark["id"] for mark in of_design if not mark["displaced"] or mark["verdict"] == "inside"]
    before = np.array([complex(*design[name]) for name in kept])
    fit = lambda after: fitted(before, after)
    after = np.array([complex(*second.place(name)) for name in kept])
    shift, turn = fit(after)
    pose = found["pose"]
    assert (pose["forward_mm"], pose["left_mm"]) == pytest.approx((shift.real, shift.imag), abs=1e-3)
    assert pose["turned_deg"] == pytest.approx(np.degrees(turn), abs=1e-5)
    # Its uncertainty by the derivatives of the fit itself, a step of 0.01 mm each way at each mark.
    rows = np.zeros((3, len(second.unknowns)))
    for index, name in enumerate(kept):
        for axis, step in enumerate([0.01, 0.01j]):
            moved = [after + sign * step * (np.arange(len(kept)) == index) for sign in (1, -1)]
            (up, up_turn), (down, down_turn) = map(fit, moved)
            by = (up - down) / 0.02
            rows[:, second.column[name] + axis] = by.real, by.imag, (up_turn - down_turn) / 0.02
    deviations = np.sqrt(np.diag(rows @ second.cofactors @ rows.T))
    assert (pose["sd_forward_mm"], pose["sd_left_mm"]) == pytest.approx(tuple(deviations[:2]), rel=1e-3)
    assert pose["sd_turned_deg"] == pytest.approx(np.degrees(deviations[2]), rel=1e-3)


def fitted(before, after):
    """Where the rigid fit puts the origin, and its turn in radians."""
    turn = np.angle(np.vdot(before - before.mean(), after - after.mean()))
    return after.mean() - np.exp(1j * turn) * before.mean(), turn
