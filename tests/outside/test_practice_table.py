"""Stations, offsets, two-tape distances and diagonals of the exercises, reckoned again from the printed sheet alone."""

import re
from math import hypot, isclose

import pytest

from exercise_text import LEVELS, MARK, NUMBER, mixed, number, numbers, side_by_side

TEMPLATES = ["perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs"]

# Half of a whole mm, and what binary numbers lose.
ROUNDED = 0.5 + 1e-6

PLACE = re.compile(rf"({MARK}) (?:[a-z][a-z,]* )*({NUMBER}) ({NUMBER})(?=$| {MARK}| [a-z])")
DIAGONAL = re.compile(rf"({MARK}) – ({MARK}) ({NUMBER}) ({NUMBER}) ({NUMBER})")
ROOT = re.compile(rf"√\(({NUMBER})² \+ ({NUMBER})²\) = (\d+)")
TERM = r"[−]?\d+(?:\.\d+)?(?:/2)?"
SUM = re.compile(rf"= ({TERM}(?: [+−] {TERM})+) = ({NUMBER})")


def given_places(sheet):
    """Mark → (station, offset) where level 3 gives them."""
    return {name: (number(x), number(y)) for line in sheet.given().split for name, x, y in PLACE.findall(line)}


def sums(text, given, where):
    """Every sum that is worked out is of numbers that the sheet gives, and comes out as printed."""
    known = {abs(value) for value in numbers(given)}
    for terms, result in SUM.findall(text):
        for term in re.findall(r"\d+(?:\.\d+)?(?!\d|\.\d|/2\d)", re.sub(r"/2\b", "", terms)):
            assert number(term) in known, f"{where}: {term} of {terms} is not given"
        total = sum(
            (-1 if sign == "−" else 1) * number(term.removesuffix("/2")) / (2 if term.endswith("/2") else 1)
            for sign, term in re.findall(r"(?:^|([+−]) )([−]?\d+(?:\.\d+)?(?:/2)?)", terms)
        )
        assert isclose(total, number(result), abs_tol=1e-3), f"{where}: {terms} is not {result}"


def roots(text, where):
    """Pythagoras wherever it is worked out."""
    for along, across, straight in ROOT.findall(text):
        assert abs(hypot(number(along), number(across)) - number(straight)) <= ROUNDED, f"{where}: √({along}² + {across}²)"


@pytest.mark.parametrize("level", LEVELS)
def test_distances_follow_from_the_places_and_the_diagonals_from_their_legs(level):
    proven = 0
    for arguments, exercise, answer in mixed("table", level, TEMPLATES):
        where = f"level {level}, {' '.join(arguments)}, sheet {exercise.number}"
        key = answer.text[:answer.text.index("Wrong answers")] if "Wrong answers" in answer.text else answer.text
        roots(key, where)
        sums(key, exercise.text + key[:key.index(" 2 Reckon")] if "size code" in key else exercise.text, where)
        places, slack = given_places(exercise), 0.0
        if not places:
            # Places from the key are rounded to whole mm each.
            places, slack = {}, 1.0
            for line in answer.question(1).split + (answer.question(2).split if "code" in answer.question(1).text else []):
                places |= {name: (number(x), number(y)) for name, x, y in PLACE.findall(line)}
        else:
            assert places == given_places(answer), where
        assert places, where
        for a, b, along, across, straight in DIAGONAL.findall(" ".join(answer.split)):
            legs = [abs(p - q) for p, q in zip(places[a], places[b])]
            assert [number(along), number(across)] == pytest.approx(legs, abs=ROUNDED + slack), f"{where}: {a} – {b}"
            assert abs(hypot(*legs) - number(straight)) <= ROUNDED + 1.5 * slack, f"{where}: {a} – {b}"
            assert abs(hypot(number(along), number(across)) - number(straight)) <= 1.3, where
            proven += 1
        two_tape(answer, places, slack, where)
        identity(key, where)
    assert proven or level < 3


def two_tape(answer, places, slack, where):
    """Distances from two marks on the centreline, against the places."""
    found = re.search(rf"two-tape distances of these marks from ({MARK}) and ({MARK})", answer.text)
    if not found:
        return
    rows = side_by_side(answer.split, rf"({MARK}) (\d+) (\d+)")
    assert rows, where
    for name, *tapes in rows:
        for base, tape in zip(found.groups(), tapes):
            distance = hypot(*(p - q for p, q in zip(places[name], places[base])))
            assert abs(distance - number(tape)) <= ROUNDED + 1.5 * slack, f"{where}: {name} from {base}"


def identity(key, where):
    """D1² + D2² against the sum of the squared sides, in whole mm."""
    found = re.search(r"D1² \+ D2² = (\d+)² \+ (\d+)² = (\d+) .*?2 × \((\d+)² \+ (\d+)²\) = (\d+) Difference (\d+), no more than .*? = (\d+):", key)
    if found:
        d1, d2, left, along, across, right, difference, allowed = map(int, found.groups())
        assert left == d1**2 + d2**2 and right == 2 * (along**2 + across**2), where
        assert difference == abs(left - right) <= allowed == d1 + d2 + 2 * (along + across), where
