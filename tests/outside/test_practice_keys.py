"""The key table of a class set of thirty says what the worked answers of each sheet say, both read from the page alone."""

import os
import re
import tempfile
from pathlib import Path

import pytest

import key_table
import kit
from exercise_text import BOTH, LEVELS, MARK, PLAIN, UNIT, by_name, lettered, sheets, side_by_side
from test_practice_levels import NUMBER, SLOPE_UNIT
from test_practice_set_out import BASES, PAIR
from test_practice_square import readings
from test_practice_table import DIAGONAL, PLACE
from test_practice_units import LENGTH, rows as unit_rows

CLASS = 30

# A random vehicle on a layout in which every kind of this level can be made.
LAYOUTS = {1: "perimeter-lines", 2: "perimeter-lines", 3: "side-and-end-panels", 4: "perimeter-lines"}

NONE = "–"


def table(answer):
    found = {}
    first = 1
    if "size code" in answer.question(1).text:
        widths = re.search(rf"/\d+R\d+ (\d+)(?: ({PLAIN}))?(?= |$)", answer.question(1).text)
        found[1, "tyre width"] = widths[1]
        if answer.inches:
            found[1, "tyre width in inches"] = widths[2]
        first = 2
    if "station and offset" in answer.question(first).text:
        for line in answer.question(first).split:
            for name, x, y in PLACE.findall(line):
                found[first, f"{name} station"] = x
                if "C" not in name:
                    found[first, f"{name} offset"] = y
    for question in answer.questions:
        part = answer.question(question)
        if bases := re.search(rf"two-tape distances of these marks from ({MARK}) and ({MARK})", part.text):
            for name, *tapes in side_by_side(part.split, rf"({MARK}) ({PLAIN}) ({PLAIN})"):
                found |= {(question, f"{name} from {base}"): tape for base, tape in zip(bases.groups(), tapes)}
        for a, b, *numbers in (row for line in part.split for row in DIAGONAL.findall(line)):
            found |= {(question, f"{a} – {b} {what}"): mm for what, mm in zip(("along", "across", "distance"), numbers)}
        if "Prove your distances" in part.text:
            numbers = next(line for line in part.split if re.fullmatch(r"[\d.]+ [\d.]+ [\d.]+", line)).split()
            found |= {(question, what): mm for what, mm in zip(("left side", "right side", "difference"), numbers)}
    return found


def set_out(answer):
    found = {}
    if bases := BASES.search(answer.question(1).text):
        front, rear = bases[1], bases[3]
        whats = [f"from {front} on paper", f"from {rear} on paper", "station on paper", "offset on paper"]
        rows = [(names, numbers[2:]) for names, numbers in by_name(answer.question(1), 6)]
    else:
        whats = ["station", "station on paper", "offset", "offset on paper"]
        rows = by_name(answer.question(1), 4)
    for names, numbers in rows:
        found |= {(1, f"{', '.join(names)} {what}"): mm for what, mm in zip(whats, numbers)}
    for a, b, paper, floor in side_by_side(answer.question(2).split, PAIR) if 2 in answer.questions else []:
        found |= {(2, f"{a} – {b} on paper"): paper, (2, f"{a} – {b} on the floor"): floor}
    return found


def square(answer):
    found = {(1, f"{a} – {b} difference"): difference for a, b, _, _, difference in readings(answer)}
    sort = 3 if "two diagonals of the four corners" in answer.question(2).text else 2
    if sort == 3:
        text = answer.question(2).text
        found[2, "difference of the diagonals"] = re.search(rf"{PLAIN} − {PLAIN} = ({PLAIN}) {UNIT}", text)[1]
        found[2, "what it says"] = "not a rectangle" if "is no scatter" in text else "square"
    text, acts = answer.question(sort + 1).text, answer.question(sort + 2).text
    mistakes = []
    one = rf"(?P<which>{MARK}|Station \d+) (?:\((?P<marks>[^)]*)\) )?lies (?P<far>{PLAIN} {UNIT}) too far (?P<way>\w+)\.|The reading (?P<pair>{MARK} – {MARK}) is (?P<by>{PLAIN} {UNIT}) (?P<long>too \w+)\.|The grid is turned (?P<turn>[\d.]+°) (?P<sense>[\w-]+)"
    back = {"forward": "rearward", "rearward": "forward", "left": "right", "right": "left"}
    for said in re.finditer(one, text):
        if said["which"]:
            action = f"move {said['marks'] or said['which']} {said['far']} {back[said['way']]}"
            mistakes.append((said["which"].replace("Station", "station"), said["far"], said["way"], action))
        elif said["pair"]:
            mistakes.append((said["pair"], said["by"], said["long"], f"tape {said['pair']} again"))
        else:
            mistakes.append(("grid", said["turn"], said["sense"], "lay the grid again"))
    assert all(action.split(" ")[0] in acts.lower() for *_, action in mistakes), acts
    slots = ["first mistake", "second mistake"] if answer.level == 4 else ["mistake"]
    for slot, told in zip(slots, [*mistakes, *[(NONE,) * 4] * 2]):
        found |= {(sort + 1, f"{slot}: {of}"): part for of, part in zip(("which", "how far", "which way"), told)}
        found[sort + 2, f"{slot}: action"] = told[3]
    sorts = ["grid" if one[0] == "grid" else "station" if "station" in one[0] else "reading" if "–" in one[0] else "mark" for one in mistakes]
    found[sort, "what is wrong"] = {
        (): "nothing", ("mark", "mark"): "two marks", ("grid",): "turned",
    }.get(tuple(sorts), " + ".join(sorts))
    if part := answer.asking("Another crew laid"):
        number = sort + 3
        found[number, "out of square"] = re.search(r"γ = ([\d.]+)°", part.text.split("sin γ =")[-1])[1]
        found[number, "too far forward"] = re.search(r"the (left side|right side) lies too far forward\.", part.text)[1]
    return found


def order(answer):
    found = {(1, f"line {letter}"): written for letter, (_, written) in lettered(answer.question(1)).items()}
    for question in range(2, answer.questions[-1] + 1):
        text = answer.question(question).text
        found[question, "check"] = " to ".join(re.search(rf"({MARK}) to ({MARK}): both marks lie", text).groups())
        found[question, "reading"] = re.search(rf"The tape should read ({PLAIN})", text)[1]
    return found


def units(answer):
    forth, back = (1, 2) if "nearest 1/" in answer.question(1).text else (2, 1)
    found = {(forth, f"{pair} {mm} mm"): text for pair, mm, text in unit_rows(answer, forth, rf"(\d+) mm ({LENGTH})")}
    found |= {(back, f"{pair} {text}"): mm for pair, text, mm in unit_rows(answer, back, rf"({LENGTH}) (\d+)")}
    text = answer.question(3).text
    found[3, "should be"] = re.search(r"Should be mm [\d /+]+ in \d+ mm (\d+)", text)[1]
    found[3, "slip"] = re.findall(r"(took the inches[^:=]*|left the[^:=]*|put the[^:=]*|took 1 in as 25 mm): [\d. ×]+ = \d+ mm ← as written", text)[-1]
    return found


def levels(answer):
    found, first = {}, 1
    if "two diagonals" in answer.question(1).text:
        first = 3
        for half in ("front", "rear"):
            found[1, f"diagonals, {half} half"] = re.search(rf"{half} half: .*? = ({NUMBER}) {UNIT}\b", answer.question(1).text)[1]
        name, over, side = re.search(rf"(\w+) lies ({NUMBER}) {UNIT} (above|below) the plane", answer.question(2).text).groups()
        found[2, "point beside the plane"] = name
        found[2, "height over the plane"] = over if side == "above" else f"−{over}"
    for question, way, rising in ((first, "along", "rises forward"), (first + 1, "across", "rises to the left")):
        text = answer.question(question).text
        slope, sense = re.findall(rf" = ([+−]?\d+\.\d\d) {SLOPE_UNIT}: (rises forward|falls forward|rises to the left|falls to the left|level)", text)[-1]
        found[question, f"slope {way}, positive when it {rising}"] = slope
        found[question, f"{way}: direction"] = sense
    text = answer.question(first + 2).text
    greatest = re.search(rf"= (\d+\.\d\d) {SLOPE_UNIT} in percent: .* = (\d+\.\d\d) %", text)
    found[first + 2, "greatest slope"], found[first + 2, "greatest slope in percent"] = greatest.groups()
    found[first + 3, "low"] = re.search(r"(\w+): the floor falls", answer.question(first + 3).text)[1]
    if answer.level == 3:
        found[5, "slope"] = f"{'beyond' if 'beyond the limit.' in answer.question(5).text else 'within'} the limit"
    return found


WORKED = {"table": table, "set-out": set_out, "square": square, "order": order, "units": units, "levels": levels}


def bare(answer):
    """An answer without its unit, which may stand in the heading."""
    return re.sub(r"(?<=\d)\+(?=\d)", " ", re.sub(r" ?(?:mm/m|in per 10 ft|mm|in|%|°)$", "", answer))


# Marked with its group, a class set is made and read by one worker only.
@pytest.fixture(
    scope="module",
    params=[pytest.param((level, units), marks=pytest.mark.xdist_group(f"class-set-{level}")) for level in LEVELS for units in BOTH],
)
def class_set(request):
    level, units = request.param
    with tempfile.TemporaryDirectory(dir=os.environ.get(kit.FOLDER_VARIABLE)) as folder:
        kinds = ",".join(WORKED)
        kit.asked(
            "practice", "--kinds", kinds, "--level", level, "--seed", 30 + level, "--count", CLASS,
            "--vehicle", "random", "--template", LAYOUTS[level], *units, "--out", folder,
        )
        path = Path(folder) / "answers.pdf"
        return level, key_table.read(path), {kind: sheets(path, kind) for kind in WORKED}


@pytest.mark.parametrize("kind", WORKED)
def test_the_key_table_says_what_the_worked_answers_say(class_set, kind):
    level, tables, answers = class_set
    table = tables[kind]
    assert sorted(table) == sorted(answers[kind]) == list(range(1, CLASS + 1))
    for number, answer in answers[kind].items():
        where = f"{kind}, level {level}, sheet {number}"
        worked = WORKED[kind](answer)
        assert worked, where
        assert named(table[number], worked, where) == {of: bare(text) for of, text in worked.items()}, where


def named(told, worked, where):
    """The answers of the table by question and what they are of, as the worked answers name them."""
    found = {}
    for question, name, answer in told:
        in_order = [one for one in worked if one[0] == question]
        nth = re.fullmatch(r"no\. (\d+)(?:, .*)?", name)
        if answer == NONE and nth and int(nth[1]) > len(in_order):
            continue
        of = in_order[int(nth[1]) - 1] if nth else (question, re.sub(r", (?:mm/m|in per 10 ft|mm|in|%|°)$", "", name))
        if of not in worked and answer == NONE:
            continue
        assert of not in found, f"{where}: {of} twice"
        found[of] = bare(answer)
    return found
