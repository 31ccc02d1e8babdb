"""The order of work, checked from the text of the keys: one number for every line, and a reason for every number."""

import re
import subprocess

import pytest

import kit

# Lines to number by level; at level 4 all of them.
LINES = {1: 5, 2: 7, 3: 9}


def sheets(path, title):
    """The pages of each sheet, one after the other in one text."""
    pages = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout
    return re.split(rf"(?m)^[\f ]*{title}\n(?= *Sheet \d+)", pages)[1:]


@pytest.mark.parametrize("level", [1, 2, 3, 4])
def test_every_key_numbers_each_line_once_and_gives_a_reason_for_its_place(level, tmp_path):
    asked = ["--kinds", "order", "--level", level, "--count", 125, "--vehicle", "random"]
    done = kit.run("practice", *asked, "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    keys = sheets(tmp_path / "answers.pdf", "Order of work, answers")
    assert len(keys) == len(sheets(tmp_path / "exercises.pdf", "Order of work")) == 125
    orders = set()
    for key in keys:
        worked = re.findall(r"(?m)^ *(\d+) \(([a-z])\): (\S.*)$", key)
        assert [int(number) for number, _, _ in worked] == list(range(1, len(worked) + 1))
        letters = [letter for _, letter, _ in worked]
        assert len(set(letters)) == len(letters) >= 5
        assert level == 4 or len(letters) == LINES[level]
        orders.add(tuple(letters))
        assert letters != sorted(letters), "the lines stand in order as printed"
    # Sheets of a class are not copies of each other; five lines have 119 orders that ask for something.
    assert len(orders) > 50
