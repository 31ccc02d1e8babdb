"""The key table read back by the places of its words: which answer stands under which headings.

A heading and every line of it begin at the left of its cell, the heading over several columns at that of the first; what
stands in a row is centred in it. That is enough to tell rows and columns of a ruled table without its rules.
"""

import re
from dataclasses import dataclass, field

from exercise_text import CENTRED, MARK, ONE_LINE, TITLES, Line, Sheet, beside, column, is_foot, pages

# Capitals by the height of a word's box, of the face on the sheets.
CAPITALS = 0.626

# Lines of one cell lie 1.5 times the capitals apart, those of two cells twice as much or more.
NEXT_CELL = 1.75

# Headings that begin at one place do so within this, points.
ONE_PLACE = 0.6

OTHER_SIGN = "(−) "


@dataclass
class Key:
    """Sheet → (question, name, quantity) → answer; sheet → questions that are left to its own answers."""

    sheets: dict = field(default_factory=dict)
    left_out: dict = field(default_factory=dict)


def read(path):
    """Kind → its keys, of all pages of the table."""
    lines, found = [], {}
    for page in pages(path):
        if page[0].text != "Key table" and page[0].text != "Key table, continued":
            break
        lines += [line for line in page if not is_foot(line.text)]
    title = re.compile(rf"({'|'.join(map(re.escape, TITLES.values()))})(?:, sheets with \d+ questions?)?(?:, continued)?")
    heads = [at for at, line in enumerate(lines) if title.fullmatch(line.text)]
    for at, end in zip(heads, [*heads[1:], len(lines)]):
        name = title.fullmatch(lines[at].text)[1]
        kind = next(kind for kind, words in TITLES.items() if words == name)
        _table(lines[at + 1:end], found.setdefault(kind, Key()))
    return found


def _table(lines, key):
    begin = next(at for at, line in enumerate(lines) if re.fullmatch(r"(?:Question(?: \d+)+ ?)+", line.text))
    starts = [word.left for word in lines[begin] if word.text == "Question"]
    rows = {}
    for left, right in zip(starts, [*starts[1:], float("inf")]):
        part = [Line(word for word in line if left - 1 <= word.left < right - 1) for line in lines[begin:]]
        rows |= _part([line for line in part if line])
    notes = " ".join(line.text for line in lines[:begin])
    left_out = {int(number) for number in re.findall(r"Question (\d+): see the answers of each sheet\.", notes)}
    for question, said in re.findall(r"Question (\d+), on all sheets: (.*?)\.(?= Question|$| \(−\):)", notes):
        for one in said.split("; "):
            of, answer = one.rsplit(": ", 1)
            names, quantity = re.fullmatch(rf"((?:(?:\(−\) )?{MARK}(?: – {MARK})?, )*(?:\(−\) )?{MARK}(?: – {MARK})?)? ?(.*)", of).groups()
            for answers in rows.values():
                answers |= {(int(question), name, quantity): said for name, said in signed(names or "", answer)}
    assert not rows.keys() & key.sheets.keys(), "a sheet stands in the table twice"
    key.sheets |= rows
    key.left_out |= dict.fromkeys(rows, left_out)


def _part(lines):
    """Rows of one of the blocks that may stand side by side."""
    questions = lines[0]
    sheet = next(word for line in lines for word in line if word.text == "Sheet")
    head_left = min(word.left for word in questions[1:]) - 1
    first_column = [word for line in lines for word in line if word.left < head_left and word.middle > sheet.middle]
    numbers = [word for word in first_column if word.text.isdigit()]
    top = questions.middle + CAPITALS * sheet.height
    half = sheet.middle - top
    body = numbers[0].middle
    # The lowest heading ends above the tallest first row; what is centred above the foot of the headings belongs to them.
    foot = sheet.middle + half
    heads = [line for line in lines if questions.middle + ONE_LINE < line.middle < foot]
    stacks = {}
    for cell in (cell for line in heads for cell in line.cells() if cell.left >= head_left):
        place = next((place for place in stacks if abs(place - cell.left) < ONE_PLACE), cell.left)
        stacks.setdefault(place, []).append(cell)
    assert body > foot, "a row stands among the headings"
    columns = [(place, *_heading(stack, sheet.middle, half)) for place, stack in sorted(stacks.items())]
    below = Sheet(0, 0, [line for line in lines if line.middle > foot])
    rows = {int(number.text): {} for number in numbers}
    middles, quantity = [number.middle for number in numbers], ""
    for (place, over, name), end in zip(columns, [*(place for place, *_ in columns[1:]), float("inf")]):
        quantity = over or quantity
        question = [word.text for word in questions[1:] if word.left < place + 1][-1]
        for number, cell in zip(numbers, beside(middles, column(below, place - 1, end - 1))):
            answer = " ".join(line.text for line in cell)
            for one, said in signed(name, answer):
                rows[int(number.text)][int(question), one, quantity] = said
    return rows


def signed(names, answer):
    """The answer for each of some names; for those behind (−) it has the other sign."""
    same, _, other = names.partition(OTHER_SIGN)
    yield from ((name, answer) for name in re.split(", ?", same.rstrip(", ")))
    if other:
        yield from ((name, mirrored(answer)) for name in other.split(", "))


def mirrored(answer):
    """The number with the other sign."""
    return answer.removeprefix("−") if answer.startswith("−") else answer if answer == "0" else f"−{answer}"


def _heading(stack, middle, half):
    """Quantity and name of a column: of the first of several, both; of a single one the quantity alone."""
    stack = sorted(stack, key=lambda cell: cell.middle)
    centre = lambda cells: (cells[0].middle + cells[-1].middle) / 2
    text = lambda cells: " ".join(cell.text for cell in cells)
    for at in range(1, len(stack)):
        # A quantity and a name share the height of the headings, so that their middles lie half of it apart.
        apart = stack[at].middle - stack[at - 1].middle > NEXT_CELL * CAPITALS * stack[at][0].height
        if apart and abs(centre(stack[at:]) - centre(stack[:at]) - half) < CENTRED:
            return text(stack[:at]), text(stack[at:])
    return (text(stack), "") if abs(centre(stack) - middle) < CENTRED else ("", text(stack))
