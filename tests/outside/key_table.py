"""The key table read back by the places of its words: which answer stands beside what is asked, under which sheet.

A cell begins where the heading of its column begins, or ends where it ends; what stands in a row is centred in it. That is
enough to tell rows and columns of a ruled table without its rules.
"""

import re

from exercise_text import TITLES, Sheet, beside, body, pages

# Words that begin or end at one place do so within this, points.
ONE_PLACE = 0.6

ASKED = re.compile(r"(\d+):(?: .*)?")


def read(path):
    """Kind → sheet → the answers in the order of the table, each with its question and its row's name."""
    found, kind, table = {}, None, []
    for page in pages(path):
        if page[0].text not in ("Key table", "Key table, continued"):
            break
        for line in body(page):
            named = next((word for word, title in TITLES.items() if title == line.text), None)
            begins = re.fullmatch(r"Sheet(?: \d+)+", line.text)
            if named or begins:
                _table(table, found.setdefault(kind, {}))
                table = [line] if begins else []
            elif table and line.text != "Key table, continued":
                table.append(line)
            kind = named or kind
    _table(table, found.setdefault(kind, {}))
    return {kind: sheets for kind, sheets in found.items() if sheets}


def _table(lines, sheets):
    """Adds the answers of one table, or of the part of one that stands on a page."""
    if not lines:
        return
    heads = lines[0].cells()[1:]
    assert all(len(head) == 1 for head in heads), lines[0].text
    columns = [[] for _ in heads]
    labels = []
    for line in lines[1:]:
        for cell in line.cells():
            under = [at for at, head in enumerate(heads) if _ends_with(cell, head)]
            assert len(under) <= 1, cell.text
            assert under or cell.right < heads[0].left or cell.left < heads[0].left - 20, f"under no heading: {cell.text}"
            if under:
                columns[under[0]].append(cell)
            elif ASKED.fullmatch(cell.text):
                labels.append([cell])
            else:
                labels[-1].append(cell)
    middles = [(label[0].middle + label[-1].middle) / 2 for label in labels]
    names = [" ".join(cell.text for cell in label) for label in labels]
    for head, column in zip(heads, columns):
        rows = beside(middles, Sheet(0, 0, column).lines)
        assert sum(map(len, rows)) == len(column), f"{head.text}: an answer stands beside nothing that is asked"
        answers = [" ".join(line.text for line in cell) for cell in rows]
        told = sheets.setdefault(int(head.text), [])
        told += [(int(ASKED.fullmatch(name)[1]), name.split(": ", 1)[1], answer) for name, answer in zip(names, answers)]


def _ends_with(cell, head):
    return abs(cell.left - head.left) < ONE_PLACE or abs(cell.right - head.right) < ONE_PLACE
