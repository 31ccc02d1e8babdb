"""Judge the layout: rows, layout and next step by the rules that stand on the page, from the printed text alone."""

import re
from collections import Counter
from math import ceil, hypot

import pytest

from exercise_text import COUNT, LEVELS, side_by_side
from network_model import checked
from practice_pages import LENGTH, SIGNED, length, runs

# A mark that lies off does so by 25 mm or more; what lies off by less than half of that is the scatter of laying.
GROSS_MM = 12.0

# Sheets of a level that `check` judges as well: each is a run of the binary.
MOST_CHECKED = 20

ROW = rf"(\d+) (string \S+|\S+) (\S+) (on it|{LENGTH}) ± ({LENGTH}) (–|{SIGNED})"
WITH_DIFFERENCE = rf"{ROW} (–|{SIGNED})"


def printed(sheet, level):
    """The rows of the form as printed; a hyphen that does not break is a dash."""
    lines = [line.replace("\u2011", "–") for line in sheet.given().split]
    return side_by_side(lines, WITH_DIFFERENCE if level < 3 else ROW)


def form(sheet, level):
    """Row → (names on it, difference or None, limit)."""
    rows = {}
    for number, start, to, plan, limit, read, *difference in printed(sheet, level):
        names = {*re.split("[ –]", start.removeprefix("string ")), to}
        off = None if read == "–" else length(read) - (0 if plan == "on it" else length(plan))
        assert all(off == (None if text == "–" else length(text)) for text in difference)
        rows[int(number)] = (names, off, length(limit))
    assert sorted(rows) == list(range(1, len(rows) + 1))
    return rows


def guard_band(run, level):
    words = run.sheet.given().text
    if level < 4:
        return length(re.search(rf"The guard band is ({LENGTH}) (?:mm|in)\.", words)[1])
    sd = float(re.search(r"standard deviation of ([\d.]+) (?:mm|in)\.", words)[1])
    factor = float(re.search(r"The guard band is ([\d.]+) of them, rounded up to", words)[1])
    return ceil(factor * sd / float(run.step) - 1e-9) * run.step


def verdict(off, limit, guard):
    if abs(off) < limit - guard:
        return "inside"
    return "outside" if abs(off) > limit + guard else "undecided"


def following(rows, verdicts):
    """Layout and next step by the first line of the rules that fits."""
    outside = [row for row, word in verdicts.items() if word == "outside"]
    undecided = [row for row, word in verdicts.items() if word == "undecided"]
    blank = [row for row, (_, off, _) in rows.items() if off is None]
    if len(outside) > 1:
        shared = set.intersection(*(rows[row][0] for row in outside))
        assert len(shared) == 1, "the rows outside share one mark"
        return "outside", f"move {shared.pop()}"
    if outside:
        return "undecided", f"tape row {outside[0]} again"
    if blank:
        assert len(blank) == 1
        return "undecided", f"tape row {blank[0]}, not read yet"
    if undecided:
        assert len(undecided) == 1
        return "undecided", f"tape row {undecided[0]} again"
    return "inside", "nothing: it is in order"


@pytest.mark.parametrize("level", LEVELS)
def test_the_rules_of_the_page_lead_to_the_key(level):
    near = {1: 0, 2: 1, 3: 1, 4: 2}[level]
    sorts = Counter()
    for run in runs("judge", level):
        rows, guard = form(run.sheet, level), guard_band(run, level)
        assert len(rows) >= 8, run.sheet.text
        for _, off, limit in rows.values():
            assert off is None or min(abs(abs(off) - limit + guard), abs(abs(off) - limit - guard)) >= run.step * 2 / 5, run.number
        verdicts = {row: verdict(off, limit, guard) for row, (_, off, limit) in rows.items() if off is not None}
        for word in ("outside", "undecided"):
            expected = [str(row) for row, said in verdicts.items() if said == word]
            assert run.key[f"rows {word}"] == (", ".join(expected) or "none"), (run.arguments, run.number)
        assert list(verdicts.values()).count("undecided") == near
        layout, step = following(rows, verdicts)
        assert (run.key["layout"], run.key["next"]) == (layout, step), (run.arguments, run.number)
        boxes = run.sheet.asking("What is done next?").text
        assert step in boxes and boxes.count("nothing: it is in order") == 1
        sorts[re.sub(r"\w*\d\w*", "#", step)] += 1
    if COUNT > 60:
        assert len(sorts) >= 3 and max(sorts.values()) < 0.7 * sum(sorts.values()), sorts


def csv(rows):
    """The form as `check` reads it, in mm."""
    lines = ["kind,from,to,reading_mm"]
    for start, to, plan, read in rows:
        if read == "–":
            continue
        if start.startswith("string "):
            kind, one, other = "inline", to, start.removeprefix("string ").replace("–", "..")
        else:
            kind, one, other = "vehicle" if start.startswith("W") else "distance", start, to
        lines.append(f"{kind},{one},{other},{read.replace('−', '-').replace('+', '')}")
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("level", LEVELS)
def test_check_never_asks_for_another_mark_or_reading(level):
    """`check` judges by the tolerances themselves, the page by those of the short plan, twice as wide. So `check` may want more
    readings before it says so; it never moves another mark and never doubts another reading."""
    same, done = 0, 0
    for run in runs("judge", level):
        if run.inches or "random" in run.arguments or done >= MOST_CHECKED:
            continue
        rows = printed(run.sheet, level)
        said = checked(csv([(row[1], row[2], row[3], row[5]) for row in rows]), *run.arguments, suffix=".csv")
        step, outside = run.key["next"], run.key["rows outside"]
        moved = {one["mark"] for one in said["todo"] if one["kind"] == "move" and hypot(one["forward_mm"], one["left_mm"]) > GROSS_MM}
        doubted = [{one["from"], one["to"]} for one in said["todo"] if one["kind"] == "retape"]
        # Readings of a mark that is moved are all taped again.
        doubted = [] if any(one["kind"] == "move" for one in said["todo"]) else doubted
        expected, lines = set(), []
        if step.startswith("move"):
            expected = {step.removeprefix("move ")}
        elif outside != "none":
            row = rows[int(outside) - 1]
            start = row[1].removeprefix("string ").replace("–", "..")
            lines = [{start, row[2]}]
        assert moved <= expected and all(line in lines for line in doubted), (run.arguments, run.number, step, said["todo"])
        assert said["verdict"] != "outside" or step.startswith("move")
        same += moved == expected and doubted == lines
        done += 1
    assert same >= done / 2, (same, done)
