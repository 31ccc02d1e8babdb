"""Stations, offsets, two-tape distances and diagonals of the exercises, worked out again from the printed sheet alone."""

import re
from math import cos, hypot, isclose, radians, sin

import pytest

import exercise_layout
from exercise_text import BOTH, LEVELS, MARK, NUMBER, PLAIN, UNIT, mixed, number, numbers, rounded, side_by_side

TEMPLATES = ["perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs"]

# Half of a step, what binary numbers lose, and places that are printed to 0.001 mm or 0.00001 in.
HALF, LOST = 0.5, 2e-3

# The smallest of the built-in layouts has three marks on the centreline and one on either side.
FEWEST_MARKS = 5

# A sum is printed to 0.001 mm; plain parts of free marks at level 1 are given to 0.1 mm or 0.01 in.
EXACT = 1e-3

PLACE = re.compile(rf"({MARK}) (?:[a-z][a-z,]* )*({NUMBER}) ({NUMBER})(?=$| {MARK}| [a-z])")
DIAGONAL = re.compile(rf"({MARK}) – ({MARK}) ({NUMBER}) ({NUMBER}) ({NUMBER})")
ROOT = re.compile(rf"√\(({NUMBER})² \+ ({NUMBER})²\) = ({PLAIN})(?:, rounded ({PLAIN}))?")
TERM = r"[−]?\d+(?:\.\d+)?(?: × (?:cos|sin) \d+(?:\.\d+)?°|/2)?"
SUM = re.compile(rf"= ({TERM}(?: [+−] {TERM})+) = ({NUMBER})")
WORKED = re.compile(rf"((?:{MARK}, )*{MARK}): (station|offset) = (?:[^=:]*? = )*?({NUMBER})(?:, rounded ({NUMBER}))? {UNIT}")


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
    known = [abs(value) for value in numbers(given)]
    for terms, result in SUM.findall(text):
        parts = re.findall(rf"(?:^|([+−]) |^)({TERM})", terms)
        for value in numbers(re.sub(r"/2\b", "", re.sub(r"[+−]", "", terms))):
            assert any(isclose(abs(value), one, abs_tol=1e-5) for one in known), f"{where}: {value} of {terms} is not given"
        total = 0.0
        for sign, part in parts:
            total += (-1 if (sign == "−") != part.startswith("−") else 1) * term(part.removeprefix("−"))
        assert isclose(total, number(result), abs_tol=EXACT), f"{where}: {terms} is not {result}"


def roots(text, step, where):
    """Pythagoras wherever it is worked out: the first result to one decimal of a mm or three of an inch, then rounded."""
    near = 0.05 if step == 1.0 else 0.0005
    for along, across, straight, whole in ROOT.findall(text):
        straight_way = hypot(number(along), number(across))
        assert abs(straight_way - number(straight)) <= near + LOST * step, f"{where}: √({along}² + {across}²) = {straight}"
        whole = whole or straight
        assert abs(straight_way - number(whole)) <= (HALF + LOST) * step, f"{where}: √({along}² + {across}²) is not {whole}"


@pytest.mark.parametrize("level", LEVELS)
def test_every_number_follows_from_the_dimensions_and_rules_that_the_sheet_prints(level):
    coded = proven = 0
    for arguments, exercise, answer in mixed("table", level, TEMPLATES, units=BOTH):
        where = f"level {level}, {' '.join(arguments)}, sheet {exercise.number}"
        key = answer.text.split("Wrong answers that")[0]
        roots(key, exercise.step, where)
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
            tyre_width = f" {layout.tyre_width():g}" if layout.tyre else ""
            sums(key, exercise.text + tyre_width, where)
            places = stations(exercise.question(first), answer.question(first), layout, level, where)
        asked = two_tape(exercise, answer, places, where)
        assert (len(asked) > 0) == (level >= 3), where
        proven += diagonals(answer, places, exercise.step, where)
        identity(answer, exercise.inches, where)
    # Of the built-in vehicles all but the van tell their tyre by its code.
    assert coded or level < 4
    assert proven or level < 3


def tyre(asked, told, layout, where):
    """The width from the size code in mm, by the ratio that the sheet prints; on a sheet in inches in these, too."""
    inch = 25.4 if layout.inches else 1.0
    nominal, aspect = map(int, re.match(r"(\d+)/(\d+)R", layout.tyre).groups())
    printed = re.search(r"A1 = ([\d.]+) × S1", asked)
    assert (printed is None) == ("rim width" not in layout.lengths), where
    width = float(nominal)
    if printed:
        assert number(printed[1]) == exercise_layout.RIM_RATIO[aspect], where
        worked = re.search(rf"S = (\d+) \+ 0\.4 × \(({NUMBER}) − ({NUMBER})\) = ({PLAIN})(?:, rounded (\d+))? mm", told)
        assert isclose(number(worked[2]), layout.lengths["rim width"] * inch, abs_tol=0.8 if layout.inches else EXACT), where
        assert isclose(number(worked[3]), number(printed[1]) * nominal, abs_tol=EXACT), where
        exact = nominal + 0.4 * (number(worked[2]) - number(worked[3]))
        width = rounded(exact)
        assert isclose(number(worked[4]), exact, abs_tol=EXACT) and number(worked[5] or worked[4]) == width, where
    assert layout.tyre_width() == layout.from_mm(width), f"{where}: {layout.tyre}"
    in_inches = rf" {PLAIN}" if layout.inches else ""
    row = re.search(rf"Width S of {layout.tyre} ({width:.0f}){in_inches}\b", told)
    assert row, f"{where}: {layout.tyre} is {width:.0f} wide"
    if layout.inches:
        assert number(row[0].split(f" {width:.0f} ")[1]) == layout.tyre_width(), where


def stations(exercise, answer, layout, level, where):
    """Every mark of the key lies where the rules put it; the worked sums come to the same."""
    printed = {name: (number(x), number(y)) for line in answer.split for name, x, y in PLACE.findall(line)}
    asked = {found for line in exercise.lines for cell in line.cells() for found in re.findall(rf"^({MARK})(?= |$)", cell.text)}
    assert set(printed) == asked and len(printed) >= (2 if level == 1 else FEWEST_MARKS), f"{where}: {asked}"
    places = {name: layout.place(name) for name in printed}
    for name, place in places.items():
        right = tuple(rounded(part, answer.step) for part in place)
        assert printed[name] == right, f"{where}: {name} is at {place}, the key says {printed[name]}"
    worked = WORKED.findall(answer.text)
    told = {(name, what) for names, what, _, _ in worked for name in names.split(", ")}
    beside_line = {(name, "offset") for name, (_, y) in places.items() if y}
    assert told == {(name, "station") for name in places} | beside_line, f"{where}: {told}"
    for names, what, result, whole in worked:
        for name in names.split(", "):
            value = places[name][0] if what == "station" else abs(places[name][1])
            assert isclose(number(result), value, abs_tol=EXACT), f"{where}: {what} of {name} is {value}, worked out as {result}"
            assert number(whole or result) == rounded(value, answer.step), where
    return places


def nearest(distance, printed, step):
    return abs(distance - number(printed)) <= (HALF + LOST) * step


def two_tape(exercise, answer, places, where):
    """Distances from two marks on the centreline, against the places."""
    answer = answer.asking("two-tape distances")
    if not answer:
        return []
    found = re.search(rf"two-tape distances of these marks from ({MARK}) and ({MARK})", answer.text)
    rows = side_by_side(answer.split, rf"({MARK}) ({PLAIN}) ({PLAIN})")
    asked = [name for name, in side_by_side(exercise.asking("two-tape distances").split, rf"({MARK})")]
    assert sorted(asked) == sorted(row[0] for row in rows) and rows, where
    worked = re.findall(rf"({MARK}) from ({MARK}): √\([^)]*\) = ({PLAIN})(?:, rounded ({PLAIN}))? {UNIT}", answer.text)
    worked = {(name, base, whole or straight) for name, base, straight, whole in worked}
    for name, *tapes in rows:
        for base, tape in zip(found.groups(), tapes):
            assert places[base][1] == 0, f"{where}: {base} is beside the line"
            distance = hypot(*(p - q for p, q in zip(places[name], places[base])))
            assert nearest(distance, tape, exercise.step), f"{where}: {name} from {base} is {distance}"
            assert (name, base, tape) in worked, f"{where}: {name} from {base} is not worked out"
    return rows


def diagonals(answer, places, step, where):
    """How far along, across and straight; two of a pair are equal, and mirror each other."""
    found = [row for line in answer.split for row in DIAGONAL.findall(line)]
    for a, b, along, across, straight in found:
        legs = [abs(p - q) for p, q in zip(places[a], places[b])]
        assert all(nearest(leg, printed, step) for leg, printed in zip(legs, (along, across))), f"{where}: {a} – {b} {legs}"
        assert nearest(hypot(*legs), straight, step), f"{where}: {a} – {b} is {hypot(*legs)}"
        assert f"{a} – {b}: √(" in answer.text, where
    if len(found) == 2:
        mirrored = {"L": "R", "R": "L", "C": "C"}
        mirror = lambda name: re.sub(r"[LCR](?=\d*$)", lambda side: mirrored[side[0]], name)
        assert {mirror(found[0][0]), mirror(found[0][1])} == set(found[1][:2]), where
        assert found[0][2:] == found[1][2:], where
    return len(found)


def identity(answer, inches, where):
    """D1² + D2² against the sum of the squared sides, in m or ft to three decimals of the rows before: numbers of no more than
    eight digits."""
    found = re.search(
        rf"D1² \+ D2² = ({PLAIN})² \+ ({PLAIN})² = ({PLAIN}) .*?2 × \(({PLAIN})² \+ ({PLAIN})²\) = ({PLAIN}) Difference ({PLAIN}): the numbers hold", answer.text
    )
    rows = [row for line in answer.split for row in DIAGONAL.findall(line)]
    assert (found is not None) == (len(rows) == 2), where
    if found:
        large = 12.0 if inches else 1000.0
        assert all(len(text.replace(".", "")) <= 8 for text in found.groups()), f"{where}: more digits than a calculator shows"
        d1, d2, left, along, across, right, difference = map(number, found.groups())
        printed = [number(part) / large for part in (*rows[0][2:], rows[1][4])]
        assert [along, across, d1, d2] == pytest.approx(printed, abs=0.0005 + 1e-9), where
        assert left == pytest.approx(d1**2 + d2**2, abs=0.0005 + 1e-9), where
        assert right == pytest.approx(2 * (along**2 + across**2), abs=0.0005 + 1e-9), where
        allowed = number(re.search(rf"but for rounding, here to ({PLAIN})\.", answer.text)[1])
        step = answer.step / large
        assert difference == pytest.approx(abs(left - right), abs=1e-6) and difference <= allowed, where
        assert allowed <= step * (d1 + d2 + 2 * (along + across)) + 0.02, where
        assert f"{found[3]} {found[6]} {found[7]}" in answer.split, f"{where}: the table says other numbers"
