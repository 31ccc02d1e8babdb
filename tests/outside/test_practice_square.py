"""Square or not: differences, the angle out of square, and the planted mistake, from the printed text alone.

The mistake is found a second time by `baystencil check` on the readings as printed.
"""

import re
from math import asin, degrees, hypot

import pytest

import kit
from exercise_text import BOTH, LEVELS, MARK, NUMBER, PLAIN, UNIT, mixed, number
from network_model import checked
from taped_model import Taped

READ = re.compile(rf"({MARK}) ({MARK}) ({PLAIN}) ({PLAIN})(?: ([+−]?{PLAIN})(?![\w.]))?")
PLACE = re.compile(rf"({MARK}) ({NUMBER}) ({NUMBER})(?=$| {MARK} )")

# The sheet says that so much counts as right, mm and degrees.
NEAR_MM, NEAR_DEGREES = 2.0, 0.1

# Diagonals of a rectangle that differ by no more are equal but for scatter, as the sheet says; others differ by clearly more.
SCATTER = {False: 3.0, True: 1 / 8}
CLEAR = {False: 8.0, True: 3 / 8}

# On one of so many sheets that follow on each other nothing is wrong.
EMPTY_SHARE = 8

# By how much the places of level 1, which come from whole mm of its sides, shift what `check` finds, mm.
ROUGH_MM = 0.5

# A single misread distance keeps its own noise, mm.
READING_NEAR_MM = 3.0

# Places of level 1 come from whole mm of its sides.
STEP_MM = 1.0

SIDES = {"ahead of": (0, 1), "behind": (0, -1), "left of": (1, 1), "right of": (1, -1)}
GAUGE = re.compile(
    rf"({MARK}) – ({MARK}) is ({PLAIN}) {UNIT} too (long|short), and ({MARK}) lies (ahead of|behind|left of|right of) ({MARK}), which is "
    rf"where it should be\.(?: The tape runs aslant: d = difference · distance / step (?:to the left|forward) = ({NUMBER}) · ({PLAIN}) / ({NUMBER}) = ({NUMBER}), about ({NUMBER}) {UNIT}\.)?"
)
PUT_IN = rf"\(?({NUMBER})\)?"
LEVER = re.compile(
    rf"Lever of ({MARK}) – ({MARK}) about the origin, [^=]*= \({PUT_IN} · {PUT_IN} − {PUT_IN} · {PUT_IN}\) / ({PLAIN}) = ({NUMBER}) {UNIT}\. "
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
    should = {frozenset(row[:2]): number(row[2]) for row in rows}
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
    for names, size, way in re.findall(rf"({MARK}|Station \d+ \([^)]*\)) lies ({PLAIN}) {UNIT} too far (\w+)\.", text):
        listed = re.findall(MARK, names[names.index("("):]) if "(" in names else [names]
        for name in listed:
            moved[name] = tuple(number(size) * part for part in WAYS[way])
    misread = {
        frozenset((a, b)): number(size) * (1 if way == "long" else -1)
        for a, b, size, way in re.findall(rf"The reading ({MARK}) – ({MARK}) is ({PLAIN}) {UNIT} too (long|short)\.", text)
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
    seen, empty = set(), {}
    for arguments, exercise, answer in mixed("square", level, TEMPLATES.get(level, ALL), units=BOTH):
        where = f"level {level}, {' '.join(arguments)}, sheet {exercise.number}"
        rows, key = readings(exercise), readings(answer)
        assert sorted(row[:4] for row in rows) == sorted(row[:4] for row in key) and rows, where
        at = places(exercise, rows)
        step = exercise.step
        for a, b, should, read, difference in key:
            assert number(difference) == number(read) - number(should), f"{where}: {a} – {b}"
            # Designed places are printed to tenths of a mm or to 1/16 in; those of level 1 come from sides in whole steps.
            distance = hypot(at[a][0] - at[b][0], at[a][1] - at[b][1])
            assert abs(distance - number(should)) <= step * (1.0 if level == 1 else 0.5 + 1e-6), f"{where}: {a} – {b}"
        first = 4 if level <= 2 else 3
        if level <= 2:
            on_diagonals(exercise, answer, rows, where)
        if level == 4:
            sheared(answer, at, step, where)
        key = planted(answer, first)
        found = explained(exercise, rows, at, level, where)
        inch = exercise.mm
        in_mm = [{name: tuple(part * inch for part in off) for name, off in key[0].items()}, {pair: off * inch for pair, off in key[1].items()}, key[2]]
        agreed(found, in_mm, rows, where)
        ticked(exercise, answer, found, first - 1, level, where)
        acted(answer.question(first + 1).text, key, where)
        slips(answer.question(first).text, rows, inch, where)
        gauged(answer.question(first).text, rows, at, key, inch, where)
        compared(judged(rows, at, exercise, arguments), rows, in_mm, inch, where)
        seen.add(found.sorts)
        empty.setdefault(arguments, []).append(not found.sorts)
    assert "On one sheet in eight nothing is wrong." in exercise.text
    for sheets in empty.values():
        whole = len(sheets) // EMPTY_SHARE * EMPTY_SHARE
        assert sum(sheets[:whole]) == whole // EMPTY_SHARE, f"level {level}: {sheets}"
    assert len(seen) >= (2 if level < 3 else 3), f"level {level}: {seen}"


def explained(exercise, rows, at, level, where):
    """The one set of mistakes that fits, of all that the sheet allows; in mm."""
    printed = re.search(r"standard deviation of a reading ([\d.]+) to ([\d.]+) (?:mm|in)", exercise.text).groups()
    most = 2 if "There are one or two mistakes, or none." in exercise.text else 1
    assert (most == 2) == (level == 4), where
    inch = exercise.mm
    at = {name: (x * inch, y * inch) for name, (x, y) in at.items()}
    read = [(a, b, number(text) * inch) for a, b, _, text, _ in rows]
    taped = Taped(at, read, [number(text) * inch for text in printed], exercise.step * inch).allow(ALLOWED[level])
    try:
        return taped.explained(most, readings=level > 1)
    except AssertionError as unsound:
        raise AssertionError(f"{where}: {unsound}") from None


def on_diagonals(exercise, answer, rows, where):
    """By how much the diagonals of the corners differ, and what that says: the corners are those of the longest two distances."""
    text = answer.question(2).text
    by_length = sorted(rows, key=lambda row: number(row[2]), reverse=True)[:2]
    assert number(by_length[0][2]) == number(by_length[1][2]), f"{where}: {by_length}"
    read = sorted((number(row[3]) for row in by_length), reverse=True)
    long, short, off = map(number, re.search(rf"({PLAIN}) − ({PLAIN}) = ({PLAIN}) {UNIT}", text).groups())
    assert [long, short, off] == [*read, read[0] - read[1]], f"{where}: {text}"
    limit = re.search(rf"differ by up to ({PLAIN}) {UNIT} are equal but for scatter", exercise.text)[1]
    assert number(limit) == SCATTER[exercise.inches], where
    equal = off <= SCATTER[exercise.inches]
    assert equal or off >= CLEAR[exercise.inches] - 1e-9, f"{where}: {off} leaves a doubt"
    assert ("No more than" in text, "is no scatter" in text) == (equal, not equal), f"{where}: {text}"


def sheared(answer, at, step, where):
    """d1² − d2² = 4 · side · end · sin γ, and the side that lies ahead, of a parallelogram with these corners."""
    part = answer.asking("Another crew laid")
    if not part:
        return
    fl, fr, rl, rr = re.search(rf"laid ({MARK}), ({MARK}), ({MARK}), ({MARK})\.", part.text).groups()
    assert at[fl][0] == at[fr][0] > at[rl][0] == at[rr][0] and at[fl][1] > 0 > at[fr][1], where
    side, end = re.search(rf"\) are ({PLAIN}) {UNIT} and the ends ({PLAIN}) {UNIT}", part.text).groups()
    one, other = re.search(rf"{fl} – {rr} is ({PLAIN}) {UNIT}, {fr} – {rl} is ({PLAIN}) {UNIT}", part.text).groups()
    side, end, one, other = map(number, (side, end, one, other))
    assert abs(side - (at[fl][0] - at[rl][0])) <= step and abs(end - (at[fl][1] - at[fr][1])) <= step, where
    gamma = degrees(asin((one**2 - other**2) / (4 * side * end)))
    printed = number(re.search(r"γ = ([\d.]+)°", part.text.split("sin γ =")[-1])[1])
    assert printed == pytest.approx(abs(gamma), abs=0.005 + 1e-9), f"{where}: {printed}, {gamma}"
    # Built as the words say, with the left side ahead: its diagonal from front left to rear right is the longer one.
    assert f"the {'left' if gamma > 0 else 'right'} side lies too far forward." in part.text, where
    notes = answer.text.split("Wrong answers that")[1]
    for wrong in re.findall(r"out of square ([\d.]+)°", notes):
        assert number(wrong) != printed, f"{where}: the right answer stands among the wrong ones"


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
    for listed, size, way in re.findall(rf"[Mm]ove ((?:{MARK}, )*{MARK}) ({PLAIN}) {UNIT} (\w+), and tape again\.", text):
        names |= {name: tuple(-number(size) * part for part in WAYS[way]) for name in listed.split(", ")}
    assert names == moved, f"{where}: {text}"
    assert {frozenset(pair) for pair in re.findall(rf"Tape ({MARK}) – ({MARK}) again; move no mark for it\.", text)} == set(misread), where
    assert ("Lay the grid again as a whole" in text) == bool(turned), where
    assert ("Nothing: the marks may be used." in text) == (not (moved or misread or turned)), where


def slips(text, rows, inch, where):
    """How a misread number came about."""
    number_read = {frozenset(row[:2]): (number(row[2]), number(row[3])) for row in rows}
    for a, b, words in re.findall(rf"({MARK}) – ({MARK}): {PLAIN} − {PLAIN} = [+−]{PLAIN} {UNIT}: (.*?)\. The reading", text):
        should, read = number_read[frozenset((a, b))]
        if by := re.search(rf"the tape was misread by ({PLAIN}) {UNIT}", words):
            fits = [should + number(by[1]), should - number(by[1])]
        elif words == "two digits are exchanged":
            digits, rest = str(int(read)), read - int(read)
            swapped = [digits[:at] + digits[at + 1] + digits[at] + digits[at + 2:] for at in range(len(digits) - 1)]
            fits = [read + should - (int(text) + rest) for text in swapped]
        elif "times 2.54 the reading fits" in words:
            fits = [read + should - read * 2.54]
        else:
            assert "divided by 2.54 the reading fits" in words, f"{where}: {words}"
            fits = [read + should - read / 2.54]
        assert min(abs(read - fit) for fit in fits) * inch <= READING_NEAR_MM + inch / 16, f"{where}: {a} – {b} {read}, {words}"


def gauged(text, rows, at, key, inch, where):
    """The one reading by which a size is worked out: from a mark that lies right, along the way in question."""
    moved, _, turned = key
    taped = {frozenset(row[:2]): (number(row[2]), number(row[3]) - number(row[2])) for row in rows}
    found = GAUGE.findall(text)
    assert {mark for _, _, _, _, mark, *_ in found} <= set(moved) and bool(found) == bool(moved), f"{where}: {text}"
    near = NEAR_MM / inch if inch == 1.0 else 1 / 8
    for a, b, size, way, mark, side, sound, *aslant in found:
        should, difference = taped[frozenset((a, b))]
        assert {mark, sound} == {a, b} and sound not in moved, where
        assert difference == (number(size) if way == "long" else -number(size)), f"{where}: {a} – {b} is {difference} off"
        axis, sign = SIDES[side]
        leg = at[mark][axis] - at[sound][axis]
        assert leg * sign > 0 and moved[mark][1 - axis] == 0, f"{where}: {mark} is not {side} {sound}"
        shown = difference * sign
        if any(aslant):
            put_in, distance, step, exact, shown = map(number, aslant)
            assert (put_in, distance) == (difference, should) and abs(step - leg) <= STEP_MM / inch, where
            printed = 0.0051 if inch == 1.0 else 0.000051
            assert put_in * distance / step == pytest.approx(exact, abs=printed), where
            # The next graduation, of a number that is itself rounded.
            assert abs(shown - exact) <= (0.5 if inch == 1.0 else 1 / 32) + printed, where
        assert abs(shown - moved[mark][axis]) <= near, f"{where}: {shown} worked out, {moved[mark]} in the key"
    levers = LEVER.findall(text)
    assert len(levers) == bool(turned), where
    for wheel, mark, *numbers in levers:
        y, u, x, v, distance, lever, difference, again, angle = map(number, numbers)
        assert (u, v) == at[wheel] and (x, y) == at[mark] and lever == again, where
        assert (distance, difference) == taped[frozenset((wheel, mark))], where
        assert abs((y * u - x * v) / distance - lever) <= (0.5 if inch == 1.0 else 0.05) + 1e-6, where
        assert abs(difference / lever * 57.3 - angle) <= 0.011 and abs(angle - turned) <= NEAR_DEGREES, where


def judged(rows, at, exercise, arguments):
    """What `check` says of the printed readings: with its own marks; where the wheels of a built-in vehicle count, with the
    layout. A random vehicle has no name: its wheel marks are fixed points."""
    lines = ['format = "readings/1"']
    wheels = any(name.startswith("W") for row in rows for name in row[:2])
    tolerance = re.search(r"A mark may lie off by ([\d.]+ (?:mm|in)) ?", exercise.text)[1]
    unit = " in" if exercise.inches else " mm"
    layout = wheels and "random" not in arguments
    if not layout:
        for name in dict.fromkeys(name for row in rows for name in row[:2]):
            x, y = at[name]
            lines += ["[[mark]]", f'id = "{name}"', f'x = "{x}{unit}"', f'y = "{y}{unit}"', f'tolerance = "{tolerance}"']
            lines += ["fixed = true"] * name.startswith("W")
    for a, b, _, read, _ in rows:
        lines += ["[[reading]]", f'from = "{a}"', f'to = "{b}"', f'distance = "{number(read)}{unit}"']
    return checked("\n".join(lines) + "\n", *(arguments[:4] if layout else ()))


def compared(found, rows, expected, inch, where):
    """What `check` blames is what was planted."""
    moved, misread, turned = expected
    suspects = {frozenset(rows[one["reading"]][:2]) for one in found["suspects"]}
    assert suspects == set(misread), f"{where}: suspects {suspects}, planted {set(misread)}"
    for a, b, should, read, _ in rows:
        if frozenset((a, b)) in misread:
            assert misread[frozenset((a, b))] == pytest.approx((number(read) - number(should)) * inch), where
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
