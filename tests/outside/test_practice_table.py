"""Stations, offsets, two-tape distances and diagonals of the exercises, worked out again from the printed sheet alone."""

import re
from math import cos, hypot, isclose, radians, sin

import pytest

import exercise_layout
from exercise_layout import rounded
from exercise_text import LEVELS, MARK, NUMBER, mixed, number, numbers, side_by_side

TEMPLATES = ["perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs"]

# Half of a whole mm, what binary numbers lose, and places that are printed to 0.001 mm.
ROUNDED = 0.5 + 2e-3

# The smallest of the built-in layouts has three marks on the centreline and one on either side.
FEWEST_MARKS = 5

# A sum is printed to 0.001 mm.
EXACT = 1e-3

PLACE = re.compile(rf"({MARK}) (?:[a-z][a-z,]* )*({NUMBER}) ({NUMBER})(?=$| {MARK}| [a-z])")
DIAGONAL = re.compile(rf"({MARK}) – ({MARK}) ({NUMBER}) ({NUMBER}) ({NUMBER})")
ROOT = re.compile(rf"√\(({NUMBER})² \+ ({NUMBER})²\) = (\d+)")
TERM = r"[−]?\d+(?:\.\d+)?(?: × (?:cos|sin) \d+(?:\.\d+)?°|/2)?"
SUM = re.compile(rf"= ({TERM}(?: [+−] {TERM})+) = ({NUMBER})")
WORKED = re.compile(rf"((?:{MARK}, )*{MARK}): (station|offset) = (?:[^=:]*? = )*?({NUMBER})(?:, rounded ({NUMBER}))? mm")


def given_places(sheet):
    """Mark → (station, offset) where level 3 gives them."""
    return {name: (number(x), number(y)) for line in sheet.given().split for name, x, y in PLACE.findall(line)}


def term(text):
    """A part of a sum: 1735/2, 1700 × cos 15°, 300."""
    if found := re.fullmatch(r"([\d.]+) × (cos|sin) ([\d.]+)°", text):
        return number(found[1]) * {"cos": cos, "sin": sin}[found[2]](radians(number(found[3])))
    return number(text.removesuffix("/2")) / (2 if text.endswith("/2") else 1)


def sums(text, given, where):
    """Every sum that is worked out is of numbers that the sheet gives, and comes out as printed."""
    known = {abs(value) for value in numbers(given)}
    for terms, result in SUM.findall(text):
        parts = re.findall(rf"(?:^|([+−]) |^)({TERM})", terms)
        for value in numbers(re.sub(r"/2\b", "", re.sub(r"[+−]", "", terms))):
            assert value in known, f"{where}: {value} of {terms} is not given"
        total = 0.0
        for sign, part in parts:
            total += (-1 if (sign == "−") != part.startswith("−") else 1) * term(part.removeprefix("−"))
        assert isclose(total, number(result), abs_tol=EXACT), f"{where}: {terms} is not {result}"


def roots(text, where):
    """Pythagoras wherever it is worked out."""
    for along, across, straight in ROOT.findall(text):
        assert abs(hypot(number(along), number(across)) - number(straight)) <= ROUNDED, f"{where}: √({along}² + {across}²)"


@pytest.mark.parametrize("level", LEVELS)
def test_every_number_follows_from_the_dimensions_and_rules_that_the_sheet_prints(level):
    coded = proven = 0
    for arguments, exercise, answer in mixed("table", level, TEMPLATES):
        where = f"level {level}, {' '.join(arguments)}, sheet {exercise.number}"
        key = answer.text.split("Wrong answers that")[0]
        roots(key, where)
        if level == 3:
            places = given_places(exercise)
            assert places and places == given_places(answer), where
        else:
            layout = exercise_layout.read(exercise)
            assert layout == exercise_layout.read(answer), where
            first = 1
            if layout.tyre:
                coded, first = coded + 1, 2
                tyre(exercise.question(1).text, answer.question(1).text, layout, where)
            tyre_width = f" {layout.tyre_width():.0f}" if layout.tyre else ""
            sums(key, exercise.text + tyre_width, where)
            places = stations(exercise.question(first), answer.question(first), layout, level, where)
        asked = two_tape(exercise, answer, places, where)
        assert (len(asked) > 0) == (level >= 3), where
        proven += diagonals(answer, places, where)
        identity(answer, where)
    # Of the built-in vehicles all but the van tell their tyre by its code.
    assert coded or level < 4
    assert proven or level < 3


def tyre(asked, told, layout, where):
    """The width from the size code, by the ratio that the sheet prints."""
    width = layout.tyre_width()
    printed = re.search(r"A1 = ([\d.]+) × S1", asked)
    assert (printed is None) == ("rim width" not in layout.lengths), where
    if printed:
        nominal, aspect = map(int, re.match(r"(\d+)/(\d+)R", layout.tyre).groups())
        assert number(printed[1]) == exercise_layout.RIM_RATIO[aspect], where
        worked = re.search(rf"S = (\d+) \+ 0\.4 × \(({NUMBER}) − ({NUMBER})\) = (\d+)", told)
        assert number(worked[2]) == layout.lengths["rim width"], where
        assert isclose(number(worked[3]), number(printed[1]) * nominal, abs_tol=EXACT), where
        assert number(worked[4]) == width == rounded(nominal + 0.4 * (number(worked[2]) - number(worked[3]))), where
    assert re.search(rf"{layout.tyre} {width:.0f}\b", told), f"{where}: {layout.tyre} is {width:.0f} wide"


def stations(exercise, answer, layout, level, where):
    """Every mark of the key lies where the rules put it; the worked sums come to the same."""
    printed = {name: (number(x), number(y)) for line in answer.split for name, x, y in PLACE.findall(line)}
    asked = {found for line in exercise.lines for cell in line.cells() for found in re.findall(rf"^({MARK})(?= |$)", cell.text)}
    assert set(printed) == asked and len(printed) >= (2 if level == 1 else FEWEST_MARKS), f"{where}: {asked}"
    places = {name: layout.place(name) for name in printed}
    for name, place in places.items():
        assert printed[name] == tuple(map(rounded, place)), f"{where}: {name} is at {place}, the key says {printed[name]}"
    worked = WORKED.findall(answer.text)
    told = {(name, what) for names, what, _, _ in worked for name in names.split(", ")}
    beside_line = {(name, "offset") for name, (_, y) in places.items() if y}
    assert told == {(name, "station") for name in places} | beside_line, f"{where}: {told}"
    for names, what, result, whole in worked:
        for name in names.split(", "):
            value = places[name][0] if what == "station" else abs(places[name][1])
            assert isclose(number(result), value, abs_tol=EXACT), f"{where}: {what} of {name} is {value}, worked out as {result}"
            assert not whole or number(whole) == rounded(value), where
    return places


def nearest(distance, printed):
    return abs(distance - number(printed)) <= ROUNDED


def two_tape(exercise, answer, places, where):
    """Distances from two marks on the centreline, against the places."""
    answer = answer.asking("two-tape distances")
    if not answer:
        return []
    found = re.search(rf"two-tape distances of these marks from ({MARK}) and ({MARK})", answer.text)
    rows = side_by_side(answer.split, rf"({MARK}) (\d+) (\d+)")
    asked = [name for name, in side_by_side(exercise.asking("two-tape distances").split, rf"({MARK})")]
    assert sorted(asked) == sorted(row[0] for row in rows) and rows, where
    worked = set(re.findall(rf"({MARK}) from ({MARK}): √\([^)]*\) = (\d+) mm", answer.text))
    for name, *tapes in rows:
        for base, tape in zip(found.groups(), tapes):
            assert places[base][1] == 0, f"{where}: {base} is beside the line"
            distance = hypot(*(p - q for p, q in zip(places[name], places[base])))
            assert nearest(distance, tape), f"{where}: {name} from {base} is {distance}"
            assert (name, base, tape) in worked, f"{where}: {name} from {base} is not worked out"
    return rows


def diagonals(answer, places, where):
    """How far along, across and straight; two of a pair are equal, and mirror each other."""
    found = [row for line in answer.split for row in DIAGONAL.findall(line)]
    for a, b, along, across, straight in found:
        legs = [abs(p - q) for p, q in zip(places[a], places[b])]
        assert all(map(nearest, legs, (along, across))), f"{where}: {a} – {b} {legs}"
        assert nearest(hypot(*legs), straight), f"{where}: {a} – {b} is {hypot(*legs)}"
        assert f"{a} – {b}: √(" in answer.text, where
    if len(found) == 2:
        mirrored = {"L": "R", "R": "L", "C": "C"}
        mirror = lambda name: re.sub(r"[LCR](?=\d*$)", lambda side: mirrored[side[0]], name)
        assert {mirror(found[0][0]), mirror(found[0][1])} == set(found[1][:2]), where
        assert found[0][2:] == found[1][2:], where
    return len(found)


def identity(answer, where):
    """D1² + D2² against the sum of the squared sides, in whole mm of the rows before."""
    found = re.search(r"D1² \+ D2² = (\d+)² \+ (\d+)² = (\d+) .*?2 × \((\d+)² \+ (\d+)²\) = (\d+) Difference (\d+), no more than .*? = (\d+):", answer.text)
    rows = [row for line in answer.split for row in DIAGONAL.findall(line)]
    assert (found is not None) == (len(rows) == 2), where
    if found:
        d1, d2, left, along, across, right, difference, allowed = map(int, found.groups())
        assert [along, across, d1] == [int(part) for part in rows[0][2:]] and d2 == int(rows[1][4]), where
        assert left == d1**2 + d2**2 and right == 2 * (along**2 + across**2), where
        assert difference == abs(left - right) <= allowed == d1 + d2 + 2 * (along + across), where
        assert f"{left} {right} {difference} {allowed}" in answer.split, f"{where}: the table says other numbers"
