"""What is read off the overview, from the printed table and the printed words alone."""

import re
from math import hypot

import pytest

from both_units import LENGTH, both, rows, value
from exercise_text import LEVELS, MARK

TEMPLATES = ["perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs"]
PAIR = rf"({MARK}) – ({MARK})"

# A line that runs below the vehicle does so over more than this, mm, as far as the printed numbers show.
BELOW = 100.0

# What is nearer to the tyres' outer faces is level with them, mm and in.
LEVEL = {False: 3.2, True: 0.125}


def table(sheet):
    """Mark → station, offset and both tapes, from rows that may stand side by side."""
    row = re.compile(rf"(?:^| )({MARK}) ({LENGTH}) ({LENGTH}) ({LENGTH}) ({LENGTH})(?= {MARK} |$)")
    found = [match.groups() for line in sheet.given().lines for match in row.finditer(line.text)]
    return {name: [value(text) for text in numbers] for name, *numbers in found}


def bases(marks):
    """Foremost and rearmost mark on the centreline, from which both tapes read nothing at themselves."""
    front = next(name for name, numbers in marks.items() if numbers[2] == 0)
    return front, next(name for name, numbers in marks.items() if numbers[3] == 0)


@pytest.mark.parametrize("level", LEVELS)
def test_every_answer_stands_in_the_table_or_follows_from_it(level):
    for unit, where, exercise, answer in both("overview", level, TEMPLATES):
        marks = table(exercise)
        assert marks == table(answer) and len(marks) >= 5, where
        front, rear = bases(marks)
        for name, (x, y, *tapes) in marks.items():
            for base, tape in zip((front, rear), tapes):
                far = hypot(x - marks[base][0], y - marks[base][1])
                assert abs(far - tape) <= 1.5 * unit.step, f"{where}: {name} from {base}"
        part = lambda words: (exercise.asking(words), answer.asking(words))
        if level == 1:
            names(*part("Which mark lies there?"), exercise, marks, where)
            read(part("along and across, without signs")[1], marks, where)
            taped(part("What has the tape to read")[1], marks, (front, rear), where)
            continue
        lines = vehicle(exercise, unit)
        if level == 2:
            found(part("Which mark lies there?")[1], marks, unit, where)
        gaps(part("How far, and which way?")[1], marks, lines, 4 if level == 3 else 3, unit, where)
        if level >= 3:
            equal(*part("have to be equal"), marks, where)
            below(*part("come off the list"), marks, lines, unit, where)
        if level == 4:
            straight(part("Work out how far these two lie apart")[1], marks, unit, where)


def vehicle(sheet, unit):
    """Stations of the bumpers, offset of the tyres' outer faces."""
    text = sheet.given().text
    found = re.search(rf"front bumper lies at station ({LENGTH}), the rear bumper at ({LENGTH}), the t[iy]res' outer faces at offset ({LENGTH}), "
                      rf"left and right \(all {unit.name}\)", text)
    return [value(number) for number in found.groups()]


def names(exercise, answer, whole, marks, where):
    """The mark whose station, side and rail the words name."""
    legend = whole.given().text.replace("Station 1:", "station 1:")
    stations = {what: number for number, what in re.findall(r"station (\d+): ([^;]+?)(?=[;.])", legend)}
    free = {what: name for name, what in re.findall(r"(P\d+): ([^;]+?)(?=[;.])", legend)}
    pattern = re.compile(rf"(.+), (left|right|on the cent\w+)(?:, (inner|outer) rail)?: ({MARK})")
    worked = [place for text in answer.split if (place := pattern.fullmatch(text))]
    written = [cell.text for line in answer.lines for cell in line.cells() if re.fullmatch(MARK, cell.text)]
    assert len(worked) == 4 and sorted(written) == sorted(place[4] for place in worked), where
    for place in worked:
        assert place[1].split(" ")[0] in exercise.text, where
        what, side, rail, name = place.groups()
        letter = {"left": "L", "right": "R"}.get(side, "C")
        if what in free:
            assert name == free[what] + letter, where
            continue
        fits = [mark for mark in marks if re.fullmatch(rf"{stations[what]}{letter}\d*", mark)]
        fits.sort(key=lambda mark: abs(marks[mark][1]))
        assert len(fits) == (2 if rail else 1), f"{where}: {place[0]}"
        assert name == (fits[-1] if rail == "outer" else fits[0]), f"{where}: {place[0]}"


def found(answer, marks, unit, where):
    """The one mark with these numbers."""
    seen = 0
    pattern = re.compile(rf"(?:({LENGTH}) {unit.name} (ahead of|behind)|level with) the zero point, ({LENGTH}) {unit.name} (left|right) of the \w+ ({MARK})")
    for line in answer.lines:
        for along, way, across, side, name in pattern.findall(line.text):
            x = value(along) * (1 if way == "ahead of" else -1) if along else 0
            y = value(across) * (1 if side == "left" else -1)
            assert [mark for mark, numbers in marks.items() if numbers[:2] == [x, y]] == [name], where
            seen += 1
    assert seen >= 2, where


def read(answer, marks, where):
    """Stations and offsets without signs."""
    seen = rows(answer, 5, MARK)
    assert len(seen) == 2, where
    for name, along, ahead, across, side in seen:
        x, y = marks[name][:2]
        assert (value(along), value(across)) == (abs(x), abs(y)), where
        assert ahead == ("ahead" if x > 0 else "behind") and side == ("left" if y > 0 else "right"), where


def taped(answer, marks, base, where):
    """Straight from the mark where a tape starts."""
    seen = rows(answer, 2, PAIR)
    assert len(seen) == 2, where
    for pair, number in seen:
        start, end = re.fullmatch(PAIR, pair).groups()
        assert value(number) == marks[end][2 + base.index(start)], where


def gaps(answer, marks, lines, count, unit, where):
    """Differences of two printed numbers."""
    front, rear, tyres = lines
    seen = []
    for start, name, far, way in rows(answer, 4, r"(front|rear) bumper|t[iy]res' faces|mark .*"):
        if start.startswith("mark "):
            off = marks[name][0] - marks[start.removeprefix("mark ")][0]
        elif start.endswith("bumper"):
            off = marks[name][0] - (front if start.startswith("front") else rear)
        else:
            off = abs(marks[name][1]) - tyres
        more, less = ("outside", "inside") if start.endswith("faces") else ("ahead", "behind")
        assert value(far) == abs(off) and way == (more if off > 0 else less), f"{where}: {start} to {name}"
        seen.append(start.split(" ")[-1])
    # Marks that lie level with the tyres' outer faces are not asked about.
    off = max(abs(abs(y) - tyres) for _, y, *_ in marks.values() if y)
    assert len(seen) == count and "bumper" in seen and ("faces" in seen or off <= LEVEL[unit.inches]), where


def far(marks, pair):
    one, other = (marks[name] for name in pair)
    return hypot(one[0] - other[0], one[1] - other[1])


def equal(exercise, answer, marks, where):
    """One of the pairs alone is equal."""
    options = re.findall(rf"{PAIR} and {PAIR}", exercise.text)
    assert len(options) == 4, where
    near = [option for option in options if abs(far(marks, option[:2]) - far(marks, option[2:])) < 1]
    assert len(near) == 1, f"{where}: {near}"
    key = re.search(rf"{PAIR} and {PAIR}: one is the other's mirror image in the \w+, both are ({LENGTH})", answer.text)
    assert key.groups()[:4] == near[0], where


def inside(marks, pair, lines):
    """Over how much of it a line runs within the bumpers and the tyres' outer faces."""
    front, rear, half = map(float, lines)
    (x0, y0), (x1, y1) = (map(float, marks[name][:2]) for name in pair)
    steps = [index / 2000 for index in range(2001)]
    within = [t for t in steps if rear <= x0 + t * (x1 - x0) <= front and abs(y0 + t * (y1 - y0)) <= half]
    return len(within) / 2000 * hypot(x1 - x0, y1 - y0)


def below(exercise, answer, marks, lines, unit, where):
    """What runs below the vehicle is ticked, and nothing else."""
    options = re.findall(PAIR, exercise.text)
    assert 3 <= len(options) == len(set(options)), where
    bound = BELOW / 25.4 if unit.inches else BELOW
    under = {option for option in options if inside(marks, option, lines) > bound}
    key = re.search(rf"((?:{MARK} – {MARK}(?:, )?)+): the straight line crosses", answer.text)
    assert set(re.findall(PAIR, key[1])) == under and 0 < len(under) < len(options), where


def straight(answer, marks, unit, where):
    """Along, across, and Pythagoras."""
    (pair, *numbers), = rows(answer, 4, PAIR)
    one, other = (marks[name] for name in re.fullmatch(PAIR, pair).groups())
    along, across, root = map(value, numbers)
    assert along == abs(one[0] - other[0]) and across == abs(one[1] - other[1]), where
    assert root == unit.rounded(hypot(along, across)), where
