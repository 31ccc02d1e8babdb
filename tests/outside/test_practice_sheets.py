"""What all exercises have in common, whatever they train: a code in place of the seed, points that add up, one unit, and a command
that makes the sheet again. From the text of the pages and from answers.json."""

import json
import os
import re
import shlex
import subprocess
import tempfile
from collections import Counter
from pathlib import Path

import pytest

import kit
from exercise_text import BOTH, LEVELS, TITLES, british, pages, sheets

# Kinds that nothing is asked in, and those that are about both units.
SILENT = {"primer"}
BOTH_UNITS = {"units", "true-scale", "service-text"}

CODE = r"[A-Z0-9]{6}"


@pytest.fixture(
    scope="module",
    params=[pytest.param((level, units), marks=pytest.mark.xdist_group(f"sheets-{level}")) for level in LEVELS for units in BOTH],
)
def class_set(request):
    """Three sheets of every kind that can be made: the folder's path, the level and the arguments."""
    level, units = request.param
    with tempfile.TemporaryDirectory(dir=os.environ.get(kit.FOLDER_VARIABLE)) as folder:
        kit.asked("practice", "--level", level, "--seed", 90 + level, "--count", 3, "--kinds", ",".join(TITLES), *units, "--out", folder)
        yield Path(folder), level, units


def answers(folder):
    return json.loads((folder / "answers.json").read_text(encoding="utf-8"))["sheets"]


def metadata(path):
    return subprocess.run(["pdfinfo", str(path)], capture_output=True, text=True, check=True).stdout


def test_a_trainees_page_has_a_code_and_nothing_that_makes_its_key(class_set):
    folder, level, units = class_set
    text = [line.text for page in pages(folder / "exercises.pdf") for line in page]
    assert not [line for line in text if re.search(r"\bseed\b|--|practice ", line.split("Practice numbers")[0])], text
    assert "seed" not in metadata(folder / "exercises.pdf")
    heads = [re.match(rf"Sheet \d+ · level {level} of 4 · ({CODE}) · ", line) for line in text]
    codes = [head[1] for head in heads if head]
    keyed = [sheet["code"] for sheet in answers(folder)]
    assert set(keyed) == set(codes) and len(set(keyed)) == len(keyed), f"{keyed} {codes}"


def test_the_command_on_a_teachers_page_makes_that_page_again(class_set):
    folder, level, units = class_set
    commands = {}
    for page in pages(folder / "answers.pdf"):
        words = " ".join(line.text for line in page)
        if found := re.search(r"(baystencil practice .*?) · version \d", re.sub(r" page \d+ of \d+", "", words)):
            commands.setdefault(found[1], words)
    tried = 0
    for command, words in list(commands.items()):
        if not re.search(r"--kinds [a-z-]+ ", command) or tried == 3:
            continue
        tried += 1
        with tempfile.TemporaryDirectory(dir=os.environ.get(kit.FOLDER_VARIABLE)) as again:
            paper = units[2:]
            kit.asked(*shlex.split(command)[1:], *paper, "--out", again)
            made = pages(Path(again) / "answers.pdf")
            assert words in [" ".join(line.text for line in page) for page in made], command
    assert tried == 3


def test_points_add_up_and_every_part_says_what_it_is_worth(class_set):
    folder, level, units = class_set
    by_kind = {kind: sheets(folder / "exercises.pdf", kind) for kind in TITLES}
    for sheet in answers(folder):
        where = f"{sheet['kind']} level {level} sheet {sheet['number']}"
        questions = sheet["questions"]
        assert sum(question["points"] for question in questions) == sheet["points"], where
        for at, question in enumerate(questions, 1):
            facts = [fact for fact in sheet["facts"] if fact["question"] == at]
            assert facts or sheet["kind"] in ("desk", "bay"), f"{where}: question {at} has no answer"
            assert question["scoring"] or len(facts) <= 1 or question["points"] == 1, f"{where}: nothing says what the parts of question {at} are worth"
            if facts and all("points" in fact for fact in facts) and sheet["kind"] not in ("set-out", "desk", "bay", "form"):
                assert sum(fact["points"] for fact in facts) == question["points"], f"{where}: question {at}"
        if sheet["kind"] in SILENT:
            continue
        page = by_kind[sheet["kind"]][sheet["number"]]
        head = next(line.text for line in page.lines if re.search(r"/ \d+ points?$", line.text))
        assert int(re.search(r"/ (\d+) points?$", head)[1]) == sheet["points"], where
        shown = [int(line[-2].text) for line in page.lines if len(line) > 2 and line[0].text.isdigit() and line[-1].text in ("point", "points")]
        assert shown == [question["points"] for question in questions], where
        for question in questions:
            said = british(question["scoring"])
            assert said.replace(" ", "") in page.text.replace(" ", ""), f"{where}: the page does not say {said!r}"


def test_sheets_of_one_kind_and_level_are_worth_the_same(class_set):
    folder, level, units = class_set
    worth = {}
    for sheet in answers(folder):
        worth.setdefault(sheet["kind"], Counter())[sheet["points"]] += 1
    assert all(len(points) == 1 for points in worth.values()), worth


def test_numbers_are_numbers_with_a_unit_and_a_tolerance(class_set):
    folder, level, units = class_set
    numbers = 0
    for sheet in answers(folder):
        for fact in sheet["facts"]:
            where = f"{sheet['kind']} {fact}"
            if isinstance(fact["answer"], str):
                assert "tolerance" not in fact and not re.fullmatch(r"[−+]?\d+(\.\d+)? ?(mm|in|°|%)", fact["answer"]), where
            else:
                numbers += 1
                assert fact["tolerance"] >= 0 and fact["text"], where
    assert numbers


def test_a_sheet_is_in_one_unit(class_set):
    folder, level, units = class_set
    for kind in TITLES:
        if kind in BOTH_UNITS:
            continue
        for number, sheet in sheets(folder / "exercises.pdf", kind).items():
            other = r"\bmm\b" if units else r"\d in\b|inch"
            lines = [line for line in sheet.split if re.search(other, line)]
            # A tyre's size code is in mm the world over.
            lines = [line for line in lines if not (kind == "table" and units and re.search(r"tyre|UN R30|S1|Width S|mm in$|size code", line))]
            assert not lines, f"{kind} level {level} sheet {number}: {lines}"
