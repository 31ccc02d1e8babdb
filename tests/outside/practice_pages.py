"""Runs of `practice` with everything that a test reads: the words of each sheet, its pages as vectors, and the key's answers.

Half of the sheets are in mm on A4, half in inches on Letter; vehicles and templates take turns as in `exercise_text.mixed`.
"""

import json
import os
import re
import tempfile
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import kit
import vectors
from exercise_text import COUNT, pages, sheets

# A length in mm, with a half at most, or in inches to 1/16.
LENGTH = r"(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)"
SIGNED = rf"[+−]?{LENGTH}"

ALL = ["perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs"]


@dataclass
class Run:
    """A sheet of a run: its words, its pages, and what the key says of it."""

    arguments: tuple
    number: int
    sheet: object
    pages: list
    key: dict
    inches: bool

    @property
    def step(self):
        """From one graduation to the next."""
        return Fraction(1, 16) if self.inches else Fraction(1)


def length(text):
    """A length as printed, in its unit."""
    sign = -1 if text[0] in "−-" else 1
    return sign * sum(Fraction(part) for part in text.lstrip("+−-").split(" "))


def runs(kind, level, templates=ALL, vectors_too=False, most_pages=1):
    """COUNT sheets of a kind and level, none of more than `most_pages`."""
    vehicles = kit.names("vehicles")
    pairs = [("random", template) for template in templates]
    pairs += [(vehicles[(at + level) % len(vehicles)], templates[at % len(templates)]) for at in range(max(len(vehicles), len(templates)))]
    share, rest = divmod(COUNT, len(pairs))
    for index, (vehicle, template) in enumerate(pairs):
        count = share + (index < rest)
        for inches in (False, True):
            part = count // 2 if inches else count - count // 2
            if part:
                yield from _run(kind, level, part, vehicle, template, inches, 100 * level + index, (vectors_too, most_pages))


def _run(kind, level, count, vehicle, template, inches, seed, pages_wanted):
    vectors_too, most_pages = pages_wanted
    units = ("--units", "inch", "--paper", "Letter") if inches else ()
    arguments = ("--vehicle", vehicle, "--template", template, *units)
    with tempfile.TemporaryDirectory(dir=os.environ.get(kit.FOLDER_VARIABLE)) as folder:
        kit.asked("practice", "--kinds", kind, "--level", level, "--seed", seed, "--count", count, *arguments, "--out", folder)
        path = Path(folder) / "exercises.pdf"
        found = sheets(path, kind)
        numbers = _numbers(path)
        drawn = vectors.read(path) if vectors_too else []
        keys = json.loads((Path(folder) / "answers.json").read_text(encoding="utf-8"))["sheets"]
    assert sorted(found) == list(range(1, count + 1)) == [key["number"] for key in keys]
    for key in keys:
        number = key["number"]
        facts = {fact["of"]: fact["text"] for fact in key["facts"]}
        assert len(facts) == len(key["facts"]), "two answers of one name"
        own = [page for page, of in zip(drawn, numbers) if of == number]
        assert numbers.count(number) <= most_pages, "a sheet takes more pages than it may"
        words = found[number].text
        assert not (inches and re.search(r"\bmm\b", words)), words
        yield Run(arguments, number, found[number], own, facts, inches)


def _numbers(path):
    """The sheet that each page belongs to."""
    numbers = []
    for lines in pages(path):
        head = re.match(r"Sheet (\d+) · level", lines[1].text)
        numbers.append(int(head[1]) if head else numbers[-1])
    return numbers
