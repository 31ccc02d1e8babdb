"""Published distance networks through `check`, as printed, and in other scales, headings, names and orders.

The networks are collected in F. Krumm, Geodetic Network Adjustment Examples, rev. 3.5, Univ. Stuttgart 2020. Published
values are to print rounding; those marked "computed" are worked out from the printed inputs with numpy, no published
values. Metres there, mm here; v = adjusted − observed.
"""

import random
from dataclasses import dataclass, replace

import numpy as np
import pytest

from network_model import Network, Reading

# Half a unit of the last printed digit and a little.
PLACE_MM, SD_MM, REDUNDANCY, RESIDUAL_MM = 0.1, 0.01, 1e-4, 0.005


@dataclass(frozen=True)
class Published:
    network: Network
    places: dict
    deviations: dict
    residuals: tuple
    redundancy: tuple
    sigma0: float
    dof: int


def metres(marks):
    return {name: (1000.0 * x, 1000.0 * y) for name, (x, y) in marks.items()}


def network(marks, fixed, distances, sigma):
    readings = [Reading("distance", (a, b), 1000.0 * value, sigma) for a, b, value in distances]
    return Network(metres(marks), readings, set(fixed))


PUBLISHED = {
    # Benning 2011, Ex. 8-2. Residuals and redundancy: computed.
    "two points from two fixed ones": Published(
        network(
            {"1": (0, 1000), "2": (1000, 1000), "3": (0, 0), "4": (1000, 0)}, "12",
            [("1", "3", 1000.02), ("1", "4", 1414.20), ("2", "3", 1414.24), ("2", "4", 999.98), ("3", "4", 1000.00)], 10.0,
        ),
        metres({"3": (-0.0096, -0.0226), "4": (999.9930, 0.0174)}),
        {"3": (9.01, 6.37), "4": (9.01, 6.37)},
        (2.60, -3.68, -3.68, 2.60, 2.60), (1 / 7, 2 / 7, 2 / 7, 1 / 7, 1 / 7), 0.6882, 1,
    ),
    # Strang & Borre 1997, Ex. 10.1. Residuals, redundancy, s0: computed.
    "a point from three fixed ones": Published(
        network(
            {"1": (170.71, 270.71), "2": (100, 100), "3": (241.42, 100), "P": (170.71, 170.71)}, "123",
            [("1", "P", 100.01), ("2", "P", 100.02), ("3", "P", 100.03)], 10.0,
        ),
        metres({"P": (170.7029, 170.7234)}), {"P": (33.03, 23.35)},
        (-23.356, -16.516, -16.512), (0.50005, 0.25004, 0.24992), 3.3029, 1,
    ),
    # Benning 2011, Ex. 8-8. Redundancy: computed; no residuals are printed.
    "a point that one reading alone holds in one direction": Published(
        network(
            {"1": (3000, 2000), "2": (1000, 2000), "3": (3000, 2100), "4": (1000, 2100), "5": (2000, 1000), "6": (2000, 2000)},
            "12345",
            [("6", "1", 1000.0), ("6", "2", 1000.0), ("6", "3", 1005.0), ("6", "4", 1005.0), ("6", "5", 1000.0)], 20.0,
        ),
        metres({"6": (2000.0, 1999.9976)}), {"6": (5.04, 9.96)},
        None, (0.74876, 0.74876, 0.74153, 0.74153, 0.01942), 0.5028, 3,
    ),
}


def as_printed(one, _dice):
    return one


def scaled_down(one, _dice):
    """By 1/1000, standard deviations too."""
    part = {name: (x / 1000, y / 1000) for name, (x, y) in one.network.marks.items()}
    readings = [replace(r, value=r.value / 1000, sigma=r.sigma / 1000) for r in one.network.readings]
    return replace(one, network=replace(one.network, marks=part, readings=readings))


def renamed(one, _dice):
    new = {name: f"mark {ord(name) * 7 % 97} of {name}" for name in one.network.marks}
    marks = {new[name]: place for name, place in one.network.marks.items()}
    readings = [replace(r, marks=tuple(new[name] for name in r.marks)) for r in one.network.readings]
    return replace(
        one, network=replace(one.network, marks=marks, readings=readings, fixed={new[name] for name in one.network.fixed}),
        places={new[name]: place for name, place in one.places.items()},
        deviations={new[name]: sd for name, sd in one.deviations.items()},
    )


def shuffled(one, dice):
    """Marks and readings in another order."""
    names = dice.sample(list(one.network.marks), len(one.network.marks))
    order = dice.sample(range(len(one.network.readings)), len(one.network.readings))
    pick = lambda values: None if values is None else tuple(values[index] for index in order)
    marks = {name: one.network.marks[name] for name in names}
    readings = [one.network.readings[index] for index in order]
    return replace(
        one, network=replace(one.network, marks=marks, readings=readings),
        residuals=pick(one.residuals), redundancy=pick(one.redundancy),
    )


def ends_exchanged(one, _dice):
    readings = [replace(r, marks=r.marks[::-1]) for r in one.network.readings]
    return replace(one, network=replace(one.network, readings=readings))


def started_elsewhere(one, dice):
    """What is not fixed starts 30 m away."""
    away = lambda: dice.choice([-30_000.0, 30_000.0])
    marks = {
        name: (x, y) if name in one.network.fixed else (x + away(), y + away())
        for name, (x, y) in one.network.marks.items()
    }
    return replace(one, network=replace(one.network, marks=marks))


def compared(found, one, scale=1.0):
    marks = {mark["id"]: mark for mark in found["marks"]}
    assert (found["dof"], found["datum"]) == (one.dof, "fixed")
    # s0 in units of the a-priori deviation; printed and computed to 0.001 mm of 10 mm.
    assert found["sigma0"] == pytest.approx(one.sigma0, abs=1e-4)
    for name, place in one.places.items():
        assert (marks[name]["x_mm"] * scale, marks[name]["y_mm"] * scale) == pytest.approx(place, abs=PLACE_MM)
        deviations = marks[name]["sd_x_mm"] * scale, marks[name]["sd_y_mm"] * scale
        assert deviations == pytest.approx(one.deviations[name], abs=SD_MM)
    for name in one.network.fixed:
        assert (marks[name]["x_mm"], marks[name]["y_mm"]) == pytest.approx(one.network.marks[name], abs=1e-6)
        assert (marks[name]["fixed"], marks[name]["sd_x_mm"]) == (True, 0.0)
    assert [row["redundancy"] for row in found["readings"]] == pytest.approx(one.redundancy, abs=REDUNDANCY)
    assert sum(row["redundancy"] for row in found["readings"]) == pytest.approx(one.dof, abs=1e-5)
    if one.residuals is not None:
        assert [row["residual_mm"] * scale for row in found["readings"]] == pytest.approx(one.residuals, abs=RESIDUAL_MM)


@pytest.mark.parametrize("change", [as_printed, renamed, shuffled, ends_exchanged, started_elsewhere])
@pytest.mark.parametrize("name", PUBLISHED)
def test_a_published_network_comes_out_as_printed_whatever_its_names_and_order(name, change):
    one = change(PUBLISHED[name], random.Random(5))
    compared(one.network.checked(), one)


@pytest.mark.parametrize("name", PUBLISHED)
def test_a_published_network_at_a_thousandth_of_its_size_comes_out_alike(name):
    one = scaled_down(PUBLISHED[name], None)
    compared(one.network.checked(), one, scale=1000.0)


@pytest.mark.parametrize("angle", [17.0, 90.0, -133.0, 180.0])
@pytest.mark.parametrize("name", PUBLISHED)
def test_a_turned_network_comes_out_turned(name, angle):
    one = PUBLISHED[name]
    turn = np.array([[np.cos(np.radians(angle)), -np.sin(np.radians(angle))], [np.sin(np.radians(angle)), np.cos(np.radians(angle))]])
    turned = lambda places: {name: tuple(turn @ np.array(place)) for name, place in places.items()}
    plain = one.network.checked()
    found = replace(one.network, marks=turned(one.network.marks)).checked()
    marks = {mark["id"]: mark for mark in found["marks"]}
    for name, place in turned(one.places).items():
        assert (marks[name]["x_mm"], marks[name]["y_mm"]) == pytest.approx(place, abs=PLACE_MM * 1.5)
    for before, after in zip(plain["marks"], found["marks"]):
        for axis in ("major_mm", "minor_mm"):
            assert after["ellipse"][axis] == pytest.approx(before["ellipse"][axis], abs=1e-4)
    for before, after in zip(plain["readings"], found["readings"]):
        for key in ("residual_mm", "redundancy", "w", "mdb_mm"):
            assert after[key] == pytest.approx(before[key], abs=1e-3, rel=1e-5)
    assert found["sigma0"] == pytest.approx(plain["sigma0"], abs=1e-5)


@pytest.mark.parametrize("by", [(3e9, -4e9), (-9.9e9, 5.2e9), (5e9, 0.0)])
@pytest.mark.parametrize("name", PUBLISHED)
def test_a_published_network_in_the_coordinates_of_a_national_grid_comes_out_alike(name, by):
    """5 000 km and more away: a double holds such coordinates to 2e-6 mm, so whole mm are shifted without loss, and residuals
    and deviations stay the same to the last digit printed."""
    one = PUBLISHED[name]
    near = replace(one.network, marks={name: (round(x), round(y)) for name, (x, y) in one.network.marks.items()})
    far = replace(near, marks={name: (x + by[0], y + by[1]) for name, (x, y) in near.marks.items()})
    plain, found = near.checked(), far.checked()
    for before, after in zip(plain["marks"], found["marks"], strict=True):
        for axis, shift in zip("xy", by, strict=True):
            assert after[f"{axis}_mm"] - shift == pytest.approx(before[f"{axis}_mm"], abs=4e-6)
            assert after[f"sd_{axis}_mm"] == before[f"sd_{axis}_mm"]
    assert found["readings"] == plain["readings"]
    assert (found["sigma0"], found["dof"]) == (plain["sigma0"], plain["dof"])
    compared(found | {"marks": [shifted(mark, by) for mark in found["marks"]]}, one)


def shifted(mark, by):
    """A mark of the JSON with its place about the origin again."""
    return mark | {"x_mm": mark["x_mm"] - by[0], "y_mm": mark["y_mm"] - by[1]}


def test_a_free_network_far_away_is_turned_and_held_as_near_the_origin():
    marks = {"a": (0.0, 0.0), "b": (4000.0, 10.0), "c": (4100.0, 2600.0), "d": (30.0, 2500.0)}
    values = [("a", "b", 4001.0), ("b", "c", 2593.0), ("c", "d", 4070.5), ("d", "a", 2501.0), ("a", "c", 4855.5), ("b", "d", 4688.0)]
    free = Network(marks, [Reading("distance", (a, b), value, 1.5) for a, b, value in values], set(), tolerance=6.0)
    plain = free.checked()
    found = replace(free, marks={name: (x + 7e9, y - 6e9) for name, (x, y) in marks.items()}).checked()
    keys = ("moved_forward_mm", "moved_left_mm", "sd_x_mm", "sd_y_mm", "verdict", "ellipse")
    assert [[mark[key] for key in keys] for mark in found["marks"]] == [[mark[key] for key in keys] for mark in plain["marks"]]
    assert (found["readings"], found["pose"]) == (plain["readings"], plain["pose"])


def test_one_degree_of_freedom_shows_an_error_and_blames_no_single_reading():
    """Strang & Borre's three distances disagree by 3.303 standard deviations, above the critical 3.291 (0.1 %)."""
    found = PUBLISHED["a point from three fixed ones"].network.checked()
    assert [abs(row["w"]) for row in found["readings"]] == pytest.approx([3.3029] * 3, abs=1e-3)
    assert (found["global_test"]["passed"], found["exit"]) == (False, 1)
    suspect, = found["suspects"]
    assert sorted([suspect["reading"], *suspect["or"]]) == [0, 1, 2]
