"""Square or not: differences, the angle out of square, and the planted mistake, from the printed text alone.

The mistake is found a second time by `baystencil check` on the readings as printed.
"""

import re
from math import asin, degrees, hypot

import pytest

import kit
from exercise_text import LEVELS, MARK, NUMBER, mixed, number
from network_model import checked
from taped_model import Taped

READ = re.compile(rf"({MARK}) ({MARK}) (\d+) (\d+)(?: ([+−]?\d+)(?![\w.]))?")
PLACE = re.compile(rf"({MARK}) ({NUMBER}) ({NUMBER})(?=$| {MARK} )")

# The key says that so much counts as right, mm and degrees.
NEAR_MM, NEAR_DEGREES = 2.0, 0.1

# By how much the places of level 1, which come from whole mm of its sides, shift what `check` finds, mm.
ROUGH_MM = 0.5

# A single misread distance keeps its own noise, mm.
READING_NEAR_MM = 3.0

# Places of level 1 come from whole mm of its sides.
STEP_MM = 1.0

SIDES = {"ahead of": (0, 1), "behind": (0, -1), "left of": (1, 1), "right of": (1, -1)}
GAUGE = re.compile(
    rf"({MARK}) – ({MARK}) is (\d+) mm too (long|short), and ({MARK}) lies (ahead of|behind|left of|right of) ({MARK}), which is "
    rf"where it should be\.(?: The tape runs aslant: d = difference · distance / step (?:to the left|forward) = ({NUMBER}) · (\d+) / ({NUMBER}) = ({NUMBER}) mm\.)?"
)
PUT_IN = rf"\(?({NUMBER})\)?"
LEVER = re.compile(
    rf"Lever of ({MARK}) – ({MARK}) about the origin, [^=]*= \({PUT_IN} · {PUT_IN} − {PUT_IN} · {PUT_IN}\) / (\d+) = ({NUMBER}) mm\. "
    rf"γ = difference / lever · 57\.3° = ({NUMBER}) / {PUT_IN} · 57\.3° = ({NUMBER})°"
)

WAYS = {"forward": (1, 0), "rearward": (-1, 0), "left": (0, 1), "right": (0, -1)}

# A rectangle needs four marks two by two; the other built-in templates have it not.
TEMPLATES = {1: ["perimeter-lines"], 2: ["perimeter-lines"]}
ALL = ["perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs"]


def readings(sheet):
    """(from, to, should, read, difference as printed or empty) in the order of the sheet: down one block, then the next."""
    found = [(block, row) for line in sheet.question(1).split for block, row in enumerate(READ.findall(line))]
    return [row for _, row in sorted(found, key=lambda one: one[0])]


def places(sheet, rows):
    """Mark → (forward, left) as printed; of the rectangle of level 1, which has no places, from its sides."""
    found = {name: (number(x), number(y)) for line in sheet.given().split for name, x, y in PLACE.findall(line)}
    if found:
        return found
    should = {frozenset(row[:2]): float(row[2]) for row in rows}
    names = sorted({name for row in rows for name in row[:2]})
    # Two stations of one rail pair: 1L, 1R, 4L, 4R, or of a second rail 2L2, 2R2, 3L2, 3R2.
    station = lambda name: int(re.match(r"\d+", name)[0])
    left = sorted((name for name in names if "L" in name), key=station)
    right = sorted((name for name in names if "R" in name), key=station)
    length, width = should[frozenset(left)], should[frozenset((left[0], right[0]))]
    return {
        left[0]: (0.0, width / 2), right[0]: (0.0, -width / 2),
        left[1]: (-length, width / 2), right[1]: (-length, -width / 2),
    }


def planted(sheet, first):
    """What the key says is wrong: moved marks, misread distances, the turn; from the sentences of its answer."""
    text = sheet.question(first).text
    moved = {}
    for names, mm, way in re.findall(rf"({MARK}|Station \d+ \([^)]*\)) lies (\d+) mm too far (\w+)\.", text):
        listed = re.findall(MARK, names[names.index("("):]) if "(" in names else [names]
        for name in listed:
            moved[name] = tuple(int(mm) * part for part in WAYS[way])
    misread = {
        frozenset((a, b)): int(mm) * (1 if way == "long" else -1)
        for a, b, mm, way in re.findall(rf"The reading ({MARK}) – ({MARK}) is (\d+) mm too (long|short)\.", text)
    }
    turns = re.findall(r"The grid is turned ([\d.]+)° (counter-clockwise|clockwise)", text)
    turned = sum(float(size) * (1 if way == "counter-clockwise" else -1) for size, way in turns)
    assert moved or misread or turned or "Nothing lies off." in text, text
    return moved, misread, turned


# What the boxes say, by the mistakes that are there.
BOXES = {
    (): "Nothing is wrong",
    ("mark",): "One mark lies off",
    ("reading",): "One reading is wrong",
    ("station",): "A station lies off (wrong datum)",
    ("mark", "mark"): "Two marks lie off",
    ("turned",): "The whole grid is turned",
}

# What a sheet of a level says may be there.
ALLOWED = {1: (), 2: (), 3: ("station",), 4: ("station", "turned")}


@pytest.mark.parametrize("level", LEVELS)
def test_the_key_is_the_only_explanation_of_the_printed_readings_and_check_finds_it(level):
    seen = set()
    for arguments, exercise, answer in mixed("square", level, TEMPLATES.get(level, ALL)):
        where = f"level {level}, {' '.join(arguments)}, sheet {exercise.number}"
        rows, key = readings(exercise), readings(answer)
        assert sorted(row[:4] for row in rows) == sorted(row[:4] for row in key) and rows, where
        at = places(exercise, rows)
        for a, b, should, read, difference in key:
            assert number(difference) == int(read) - int(should), f"{where}: {a} – {b}"
            # Designed places are printed to tenths of a mm, whole mm of level 1 are sides themselves.
            distance = hypot(at[a][0] - at[b][0], at[a][1] - at[b][1])
            assert abs(distance - int(should)) <= (1.0 if level == 1 else 0.5 + 1e-6), f"{where}: {a} – {b}"
        first = 4 if level <= 2 else 3
        if level <= 2:
            out_of_square(answer, rows, where)
        key = planted(answer, first)
        found = explained(exercise, rows, at, level, where)
        agreed(found, key, rows, where)
        ticked(exercise, answer, found, first - 1, level, where)
        acted(answer.question(first + 1).text, key, where)
        slips(answer.question(first).text, rows, where)
        gauged(answer.question(first).text, rows, at, key, where)
        compared(judged(rows, at, exercise, arguments), rows, key, where)
        seen.add(found.sorts)
    assert len(seen) >= (2 if level < 3 else 3), f"level {level}: {seen}"


def explained(exercise, rows, at, level, where):
    """The one set of mistakes that fits, of all that the sheet allows."""
    deviations = [float(text) for text in re.search(r"standard deviation of a reading ([\d.]+) to ([\d.]+) mm", exercise.text).groups()]
    most = 2 if "There are one or two mistakes, or none." in exercise.text else 1
    assert (most == 2) == (level == 4), where
    taped = Taped(at, [(a, b, int(read)) for a, b, _, read, _ in rows], deviations).allow(ALLOWED[level])
    try:
        return taped.explained(most, readings=level > 1)
    except AssertionError as unsound:
        raise AssertionError(f"{where}: {unsound}") from None


def agreed(found, key, rows, where):
    """The sizes of the key against those of least squares."""
    moved, misread, turned = key
    assert set(found.moved) == set(moved), f"{where}: {found}, the key says {moved}"
    for name, off in moved.items():
        assert found.moved[name] == pytest.approx(off, abs=NEAR_MM), f"{where}: {name} {found.moved[name]}, the key says {off}"
    assert {frozenset(rows[pull][:2]) for pull in found.misread} == set(misread), f"{where}: {found}, the key says {misread}"
    assert found.turned == pytest.approx(turned, abs=NEAR_DEGREES), where


def ticked(exercise, answer, found, question, level, where):
    """The boxes of the key, by its words: what it ticks it says in the sentence below."""
    offered = [cell.text for line in exercise.question(question).lines for cell in line.cells()]
    if level == 1:
        right = list(found.moved) or ["none of them"]
    else:
        one = found.sorts
        right = [BOXES[one]] if one in BOXES else [BOXES[(sort,)] for sort in ("mark", "reading") if sort in one]
    assert set(right) <= set(offered), f"{where}: {right} is not among {offered}"
    lines = answer.question(question).split
    assert "; ".join(right) + "." in lines, f"{where}: {right} is not in {lines}"


def acted(text, key, where):
    """Marks go back the way they came; readings are taped again; a turned grid is laid anew."""
    moved, misread, turned = key
    names = {}
    for listed, mm, way in re.findall(rf"[Mm]ove ((?:{MARK}, )*{MARK}) (\d+) mm (\w+), and tape again\.", text):
        names |= {name: tuple(-int(mm) * part for part in WAYS[way]) for name in listed.split(", ")}
    assert names == moved, f"{where}: {text}"
    assert {frozenset(pair) for pair in re.findall(rf"Tape ({MARK}) – ({MARK}) again; move no mark for it\.", text)} == set(misread), where
    assert ("Lay the grid again as a whole" in text) == bool(turned), where
    assert ("Nothing: the marks may be used." in text) == (not (moved or misread or turned)), where


def slips(text, rows, where):
    """How a misread number came about."""
    number_read = {frozenset(row[:2]): (int(row[2]), int(row[3])) for row in rows}
    for a, b, words in re.findall(rf"({MARK}) – ({MARK}): \d+ − \d+ = [+−]\d+ mm: (.*?)\. The reading", text):
        should, read = number_read[frozenset((a, b))]
        if by := re.search(r"the tape was misread by (\d+) mm", words):
            fits = [should + int(by[1]), should - int(by[1])]
        elif words == "two digits are exchanged":
            digits = str(read)
            swapped = [digits[:at] + digits[at + 1] + digits[at] + digits[at + 2:] for at in range(len(digits) - 1)]
            fits = [read + should - int(text) for text in swapped]
        else:
            assert "times 2.54 the reading fits" in words, f"{where}: {words}"
            fits = [read + should - read * 2.54]
        assert min(abs(read - fit) for fit in fits) <= READING_NEAR_MM, f"{where}: {a} – {b} {read}, {words}"


def gauged(text, rows, at, key, where):
    """The one reading by which a size is worked out: from a mark that lies right, along the way in question."""
    moved, _, turned = key
    taped = {frozenset(row[:2]): (int(row[2]), int(row[3]) - int(row[2])) for row in rows}
    found = GAUGE.findall(text)
    assert {mark for _, _, _, _, mark, *_ in found} <= set(moved) and bool(found) == bool(moved), f"{where}: {text}"
    for a, b, mm, way, mark, side, sound, *aslant in found:
        should, difference = taped[frozenset((a, b))]
        assert {mark, sound} == {a, b} and sound not in moved, where
        assert difference == (int(mm) if way == "long" else -int(mm)), f"{where}: {a} – {b} is {difference} off"
        axis, sign = SIDES[side]
        leg = at[mark][axis] - at[sound][axis]
        assert leg * sign > 0 and moved[mark][1 - axis] == 0, f"{where}: {mark} is not {side} {sound}"
        told = difference * sign
        if any(aslant):
            put_in, distance, step, told = map(number, aslant)
            assert (put_in, distance) == (difference, should) and abs(step - leg) <= STEP_MM, where
            assert abs(put_in * distance / step - told) <= 0.5 + 1e-6, where
        assert abs(told - moved[mark][axis]) <= NEAR_MM, f"{where}: {told} worked out, {moved[mark]} told"
    levers = LEVER.findall(text)
    assert len(levers) == bool(turned), where
    for wheel, mark, *numbers in levers:
        y, u, x, v, distance, lever, difference, again, degrees = map(number, numbers)
        assert (u, v) == at[wheel] and (x, y) == at[mark] and lever == again, where
        assert (distance, difference) == taped[frozenset((wheel, mark))], where
        assert abs((y * u - x * v) / distance - lever) <= 0.5 + 1e-6 and abs(difference / lever * 57.3 - degrees) <= 0.01, where
        assert abs(degrees - turned) <= NEAR_DEGREES, where


def out_of_square(answer, rows, where):
    """d1² − d2² = 4ab sin γ of the two longest distances."""
    text = answer.question(2).text
    one, other, difference = re.search(rf"(\d+) − (\d+) = (\d+) mm", text).groups()
    longest = sorted((int(row[2]) for row in rows), reverse=True)[:2]
    read = sorted((int(row[3]) for row in rows if int(row[2]) == longest[0]), reverse=True)
    assert [int(one), int(other)] == read[:2] and int(difference) == read[0] - read[1], where
    a, b = (int(side) for side in re.search(r"/ \(4 · (\d+) · (\d+)\)", text).groups())
    assert abs(hypot(a, b) - longest[0]) <= 1.5, f"{where}: {a} and {b} are not the sides"
    printed = float(re.search(r"γ = ([\d.]+)° out of square", text)[1])
    assert printed == pytest.approx(degrees(asin((read[0] ** 2 - read[1] ** 2) / (4 * a * b))), abs=0.005 + 1e-9), where


def judged(rows, at, exercise, arguments):
    """What `check` says of the printed readings: with its own marks; where the wheels of a built-in vehicle count, with the
    layout. A random vehicle has no name: its wheel marks are fixed points."""
    lines = ['format = "readings/1"']
    wheels = any(name.startswith("W") for row in rows for name in row[:2])
    tolerance = re.search(r"A mark may lie off by ([\d.]+) mm", exercise.text)[1]
    layout = wheels and "random" not in arguments
    if not layout:
        for name in dict.fromkeys(name for row in rows for name in row[:2]):
            x, y = at[name]
            lines += ["[[mark]]", f'id = "{name}"', f"x = {x}", f"y = {y}", f"tolerance = {tolerance}"]
            lines += ["fixed = true"] * name.startswith("W")
    for a, b, _, read, _ in rows:
        lines += ["[[reading]]", f'from = "{a}"', f'to = "{b}"', f"distance = {read}"]
    return checked("\n".join(lines) + "\n", *(arguments if layout else ()))


def compared(found, rows, expected, where):
    """What `check` blames is what was planted."""
    moved, misread, turned = expected
    suspects = {frozenset(rows[one["reading"]][:2]) for one in found["suspects"]}
    assert suspects == set(misread), f"{where}: suspects {suspects}, planted {set(misread)}"
    for a, b, should, read, _ in rows:
        if frozenset((a, b)) in misread:
            assert misread[frozenset((a, b))] == int(read) - int(should), where
    for mark in found["marks"]:
        off = moved.get(mark["id"])
        if off is not None:
            assert mark["verdict"] == "outside" and mark["displaced"], f"{where}: {mark}"
            seen = mark["moved_forward_mm"], mark["moved_left_mm"]
            assert seen == pytest.approx(off, abs=NEAR_MM + ROUGH_MM), f"{where}: {mark['id']} {seen}, planted {off}"
        elif not turned:
            # Against fixed points a weakly held mark may lie outside; it is not blamed for that.
            assert not mark["displaced"] and (found["datum"] == "fixed" or mark["verdict"] != "outside"), f"{where}: {mark}"
    if turned and found["pose"]:
        assert found["pose"]["turned_deg"] == pytest.approx(turned, abs=NEAR_DEGREES), where
