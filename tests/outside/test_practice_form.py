"""Fill in the form: what the arrow reads on the drawn tape, the tape's own hold taken off, and the difference from the plan.

A tape is read from the vector paths alone: where its ticks and its numerals stand, and at which tick the arrow's tip is.
"""

import re
from fractions import Fraction

import pytest

from exercise_text import LEVELS
from practice_pages import LENGTH, SIGNED, length, runs

TITLE = re.compile(r"Row (\d+): (.+) to (\S+?)(?:, (first|second) person)?$")
ROW = re.compile(rf"^(\d+) (?:.*? )?({LENGTH}) ± ({LENGTH})$")

# How far the tip of an arrow, or the middle of a numeral, may stand beside its tick, mm.
TIP_MM, MIDDLE_MM = 0.02, 0.35

# Numerals with their metres or feet below stand at most so far below the tape's edge, mm.
NUMERALS_MM = 13.0

# Height of the small numerals, mm: below it.
SMALL_MM = 2.9


def tapes(page, inches):
    """Row → readings of its tapes, in the tape's unit, from the drawing alone."""
    lines = [stroke.runs[0] for stroke in page.strokes if stroke.layer == "lines"]
    flat = [run for run in lines if abs(run[0][1] - run[-1][1]) < 1e-3]
    upright = [run for run in lines if abs(run[0][0] - run[-1][0]) < 1e-3]
    titles = [(text, found) for text in page.texts if (found := TITLE.match(text.content))]
    heads = [fill.area.bounds for fill in page.fills if fill.layer == "marks"]
    assert len(titles) == len(heads), "an arrow for each tape"
    rows = {}
    for left, bottom, right, _ in heads:
        tip = (left + right) / 2
        edge = next(run for run in flat if abs(run[0][1] - bottom) < 0.01 and run[0][0] <= tip <= run[-1][0])
        start, end = edge[0][0] - 1e-3, edge[-1][0] + 1e-3
        ticks = sorted({round(run[0][0], 4) for run in upright if start <= run[0][0] <= end and abs(max(p[1] for p in run) - bottom) < 0.01})
        at = [index for index, tick in enumerate(ticks) if abs(tick - tip) < TIP_MM]
        assert len(at) == 1, "the arrow points at one tick"
        steps = [b - a for a, b in zip(ticks, ticks[1:])]
        assert max(steps) - min(steps) < 0.01, "ticks stand at one distance"
        numerals = [text for text in page.texts if start <= text.at[0] <= end and bottom - NUMERALS_MM < text.at[1] < bottom]
        reading = read(ticks, numerals, at[0], inches)
        above = [(text.at[1], found) for text, found in titles if start <= text.at[0] + 1 <= end and text.at[1] > bottom]
        _, title = min(above, key=lambda one: one[0])
        rows.setdefault(int(title[1]), []).append(reading)
    return rows


def read(ticks, numerals, at, inches):
    """What the tape reads at a tick: every numeral says the same."""
    step = Fraction(1, 16) if inches else Fraction(1)
    said = set()
    count = 0
    for text in numerals:
        if text.cap_height < SMALL_MM:
            continue
        middle = (text.bounds[0] + text.bounds[2]) / 2
        near = [index for index, tick in enumerate(ticks) if abs(tick - middle) < MIDDLE_MM]
        assert len(near) == 1, text.content
        below = [small.content for small in numerals if small.cap_height < SMALL_MM and abs((small.bounds[0] + small.bounds[2]) / 2 - middle) < 0.5]
        said.add(value(text.content, below[0] if below else "", inches) + (at - near[0]) * step)
        count += 1
    assert count >= 2 and len(said) == 1, said
    return said.pop()


def value(large, small, inches):
    """A numeral with the metres, or the feet and inches, below it."""
    if inches:
        feet = re.fullmatch(r"(\d+) ft(?: (\d+))?", small)
        assert not small or int(large) == 12 * int(feet[1]) + int(feet[2] or 0), (large, small)
        assert small or int(large) < 12
        return Fraction(int(large))
    if large.endswith(" m"):
        return Fraction(1000 * int(large[:-2]))
    metres = int(small.removesuffix(" m")) if small else 0
    return Fraction(1000 * metres + 10 * int(large))


def holds(sheet, level, middles):
    """How much each row's tape reads too much, by the words of the sheet."""
    words = sheet.given().text
    if level < 3:
        return {row: 0 for row in middles}
    if level == 3:
        off = re.search(rf"take ({LENGTH}) (?:mm|in) off each reading", words)[1]
        return {row: length(off) for row in middles}
    line = length(re.search(rf"At its ({LENGTH}) (?:mm|in) line: take \1", words)[1])
    bent = length(re.search(rf"reads ({LENGTH}) (?:mm|in) too much; take \1", words)[1])
    part = sheet.question(1)
    head = next(line for line in part.lines if any(word.text == "held" for word in line))
    held = next(word.left for word in head if word.text == "held")
    after = next(word.left for text in part.lines for word in text if word.text == "plan")
    found = {row: "" for row in middles}
    for text in part.lines:
        for word in text:
            if held - 1 <= word.left < after - 8 and word.text in ("hook", "bent", "line", "two"):
                row = min(middles, key=lambda one: abs(middles[one] - word.middle))
                found[row] += word.text + " "
    assert all(found.values()), found
    return {row: line if "line" in words else bent if "bent" in words else 0 for row, words in found.items()}


@pytest.mark.parametrize("level", LEVELS)
def test_every_reading_is_what_the_drawn_tape_says(level):
    beyond_of_level, counts = {1: 1, 2: 1, 3: 2, 4: 2}[level], {1: 4, 2: 5, 3: 5, 4: 6}[level]
    seen = set()
    for run in runs("form", level, vectors_too=True):
        rows = {int(found[1]): (found, line.middle) for line in run.sheet.question(1).lines if (found := ROW.match(line.text))}
        assert sorted(rows) == list(range(1, counts + 1)), run.sheet.text
        taken = holds(run.sheet, level, {row: middle for row, (_, middle) in rows.items()})
        drawn = tapes(run.pages[0], run.inches)
        assert sorted(drawn) == sorted(rows)
        assert level < 4 or sorted(map(len, drawn.values())) == [1] * (counts - 1) + [2]
        beyond = []
        for number, (found, _) in rows.items():
            plan, limit = length(found[2]), length(found[3])
            read = sum(drawn[number]) / len(drawn[number]) - taken[number]
            unit = "in" if run.inches else "mm"
            assert _of(run.key[f"row {number} reading"], unit) == read, (run.arguments, run.number, number)
            difference = run.key[f"row {number} difference"]
            assert re.fullmatch(rf"{SIGNED} {unit}", difference) and (difference[0] in "+−")
            assert _of(difference, unit) == read - plan != 0
            assert abs(abs(read - plan) - limit) >= run.step / 2, "a graduation must not decide"
            if abs(read - plan) > limit:
                beyond.append(number)
        assert run.key["rows beyond the limit"] == ", ".join(map(str, beyond)) and len(beyond) == beyond_of_level
        seen.add(run.sheet.text)
    assert len(seen) > 4


def _of(text, unit):
    return length(text.removesuffix(f" {unit}"))
