"""The key table of a class set of thirty says what the worked answers of each sheet say, both read from the page alone."""

import os
import re
import tempfile
from pathlib import Path

import pytest

import key_table
import kit
from exercise_text import LEVELS, MARK, by_name, each_mark, lettered, sheets, side_by_side
from test_practice_levels import NUMBER
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
        found[1, "tyre width"] = re.search(r"/\d+R\d+ (\d+)\b", answer.question(1).text)[1]
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
            for name, *tapes in side_by_side(part.split, rf"({MARK}) (\d+) (\d+)"):
                found |= {(question, f"{name} from {base}"): tape for base, tape in zip(bases.groups(), tapes)}
        for a, b, *numbers in (row for line in part.split for row in DIAGONAL.findall(line)):
            found |= {(question, f"{a} – {b} {what}"): mm for what, mm in zip(("along", "across", "distance"), numbers)}
        if "Prove it" in part.text:
            numbers = next(line for line in part.split if re.fullmatch(r"\d+ \d+ \d+ \d+", line)).split()
            found |= {(question, what): mm for what, mm in zip(("left side", "right side", "difference", "allowed"), numbers)}
    return found


def set_out(answer):
    found = {}
    if bases := BASES.search(answer.question(1).text):
        front, rear = bases[1], bases[3]
        whats = [f"from {front} on paper", f"from {rear} on paper", "station on paper", "offset on paper"]
        rows = {name: numbers[2:] for name, numbers in each_mark(by_name(answer.question(1), 6)).items()}
    else:
        whats = ["station", "station on paper", "offset", "offset on paper"]
        rows = each_mark(by_name(answer.question(1), 4))
    for name, numbers in rows.items():
        found |= {(1, f"{name} {what}"): mm for what, mm in zip(whats, numbers)}
    for a, b, paper, floor in side_by_side(answer.question(2).split, PAIR) if 2 in answer.questions else []:
        found |= {(2, f"{a} – {b} on paper"): paper, (2, f"{a} – {b}"): floor}
    return found


def square(answer):
    found = {(1, f"{a} – {b} difference"): difference for a, b, _, _, difference in readings(answer)}
    sort = 3 if "two longest diagonals" in answer.question(2).text else 2
    if sort == 3:
        found[2, "difference of the diagonals"] = re.search(r"\d+ − \d+ = (\d+) mm", answer.question(2).text)[1]
        found[2, "out of square"] = re.search(r"γ = ([\d.]+)° out of square", answer.question(2).text)[1]
    text, acts = answer.question(sort + 1).text, answer.question(sort + 2).text
    mistakes = []
    one = rf"(?P<which>{MARK}|Station \d+) (?:\((?P<marks>[^)]*)\) )?lies (?P<far>\d+ mm) too far (?P<way>\w+)\.|The reading (?P<pair>{MARK} – {MARK}) is (?P<by>\d+ mm) (?P<long>too \w+)\.|The grid is turned (?P<turn>[\d.]+°) (?P<sense>[\w-]+)"
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
    found[sort + 1, "counts as right within"] = "2 mm or 0.1°"
    return found


def order(answer):
    found = {(1, f"line {letter}"): written for letter, (_, written) in lettered(answer.question(1)).items()}
    for question in range(2, answer.questions[-1] + 1):
        text = answer.question(question).text
        found[question, "check"] = " to ".join(re.search(rf"({MARK}) to ({MARK}): both marks lie", text).groups())
        found[question, "reading mm"] = re.search(r"The tape should read (\d+)", text)[1]
    return found


def units(answer):
    found = {(1, f"{pair} {mm} mm"): text for pair, mm, text in unit_rows(answer, 1, rf"(\d+) mm ({LENGTH})")}
    found |= {(2, f"{pair} {text}"): mm for pair, text, mm in unit_rows(answer, 2, rf"({LENGTH}) (\d+)")}
    text = answer.question(3).text
    found[3, "should be"] = re.search(r"Should be mm [\d /]+ in \d+ mm (\d+)", text)[1]
    found[3, "slip"] = re.findall(r"(took the inches[^:=]*|left the[^:=]*|put the[^:=]*|took 1 in as 25 mm): [\d. ×]+ = \d+ mm ← as written", text)[-1]
    return found


def levels(answer):
    found, first = {}, 1
    if "two diagonals" in answer.question(1).text:
        first = 3
        for half in ("front", "rear"):
            found[1, f"diagonals, {half} half"] = re.search(rf"{half} half: .*? = ({NUMBER}) mm", answer.question(1).text)[1]
        name, over, side = re.search(rf"(\w+) lies ({NUMBER}) mm (above|below) the plane", answer.question(2).text).groups()
        found[2, "point beside the plane"] = name
        found[2, "height over the plane"] = over if side == "above" else f"−{over}"
    for question, way, rising in ((first, "along", "rises forward"), (first + 1, "across", "rises to the left")):
        sense, slope = re.findall(r"(rises forward|falls forward|rises to the left|falls to the left|level) (\d+\.\d\d) mm/m", answer.question(question).text)[-1]
        sign = "" if sense == "level" else "+" if sense == rising else "−"
        found[question, f"slope {way}, positive when it {rising}"] = f"{sign}{slope}"
    greatest = re.search(r"= (\d+\.\d\d) mm/m = (\d+\.\d\d) %", answer.question(first + 2).text)
    found[first + 2, "greatest slope"], found[first + 2, "greatest slope in percent"] = greatest.groups()
    found[first + 3, "low"] = re.search(r"(\w+): the floor falls", answer.question(first + 3).text)[1]
    if answer.level == 3:
        found[5, "slope"] = f"{'beyond' if 'beyond the limit.' in answer.question(5).text else 'within'} the limit"
    return found


WORKED = {"table": table, "set-out": set_out, "square": square, "order": order, "units": units, "levels": levels}


def bare(answer):
    """An answer without its unit, which may stand in the heading."""
    return re.sub(r" ?(?:mm/m|mm|%|°)$", "", answer)


# Marked with its group, a class set is made and read by one worker only.
@pytest.fixture(scope="module", params=[pytest.param(level, marks=pytest.mark.xdist_group(f"class-set-{level}")) for level in LEVELS])
def class_set(request):
    with tempfile.TemporaryDirectory(dir=os.environ.get(kit.FOLDER_VARIABLE)) as folder:
        kinds = ",".join(WORKED)
        kit.asked(
            "practice", "--kinds", kinds, "--level", request.param, "--seed", 30 + request.param, "--count", CLASS,
            "--vehicle", "random", "--template", LAYOUTS[request.param], "--out", folder,
        )
        path = Path(folder) / "answers.pdf"
        return request.param, key_table.read(path), {kind: sheets(path, kind) for kind in WORKED}


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
        of = in_order[int(nth[1]) - 1] if nth else (question, re.sub(r", (?:mm/m|mm|%|°)$", "", name))
        if of not in worked and answer == NONE:
            continue
        assert of not in found, f"{where}: {of} twice"
        found[of] = bare(answer)
    return found
