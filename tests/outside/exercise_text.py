"""Exercises and their keys read back from the text of the PDF files alone, as `pdftotext` gives it.

Nothing here knows what the program computed: a sheet is lines of words with their places on paper, and the helpers
find cells by the column under whose heading they stand.
"""

import html
import os
import re
import subprocess
import tempfile
from dataclasses import dataclass, field
from pathlib import Path

import kit

TITLES = {
    "set-out": "Set out on paper",
    "table": "Fill the table",
    "square": "Square or not?",
    "units": "Millimetres and inches",
    "desk": "The floor on a desk",
    "levels": "Is the floor level?",
}

# Sheets of each kind at each of four levels: 500 of a kind. Fewer while a test is being written.
COUNT_VARIABLE = "BAYSTENCIL_PRACTICE_COUNT"
COUNT = int(os.environ.get(COUNT_VARIABLE, "125"))
LEVELS = (1, 2, 3, 4)

WORD = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')

# Words whose middles lie this near in height, points, stand on one line; the smallest lines are 7 points apart.
ONE_LINE = 2.0

NUMBER = r"[+−]?\d+(?:\.\d+)?"
MARK = r"(?:\d+[LCR]\d*|[A-Z]\w*)"


@dataclass(frozen=True)
class Word:
    text: str
    left: float
    right: float
    middle: float


class Line(list):
    """Words from left to right."""

    @property
    def text(self):
        return " ".join(word.text for word in self)

    @property
    def middle(self):
        return sum(word.middle for word in self) / len(self)


@dataclass
class Sheet:
    """One exercise or its key: pages of lines without headings repeated and without the foot."""

    number: int
    level: int
    lines: list = field(default_factory=list)

    @property
    def text(self):
        """All words, single spaces between them."""
        return " ".join(line.text for line in self.lines)

    @property
    def split(self):
        """The text of the lines, one by one."""
        return [line.text for line in self.lines]

    def question(self, number):
        """The lines of a question of this number, to the next one or to the common wrong answers."""
        begin = next(index for index, line in enumerate(self.lines) if heads(line, number))
        rest = range(begin + 1, len(self.lines))
        end = (index for index in rest if heads(self.lines[index], number + 1) or self.lines[index].text.startswith("Wrong answers that"))
        return Sheet(self.number, self.level, self.lines[begin:next(end, len(self.lines))])

    def given(self):
        """The lines above the first question."""
        begin = next(index for index, line in enumerate(self.lines) if heads(line, 1))
        return Sheet(self.number, self.level, self.lines[:begin])


def heads(line, number):
    """True for the first line of a question: its number alone at the left, its points at the right."""
    return line[0].text == str(number) and line[-1].text in ("points", "point") and line[-2].text.isdigit()


def number(text):
    """A number as it is printed: − for minus."""
    return float(text.replace("−", "-"))


def side_by_side(lines, row):
    """The rows of a table that may stand in blocks side by side: groups of `row` on lines that hold nothing else."""
    whole = re.compile(rf"(?:{row})(?: (?:{row}))*")
    return [found.groups() for line in lines if whole.fullmatch(line) for found in re.finditer(rf"(?:^| )(?:{row})(?=$| )", line)]


def numbers(text):
    return [number(found) for found in re.findall(NUMBER, text)]


def pages(path):
    """The lines of each page."""
    done = subprocess.run(["pdftotext", "-bbox", str(path), "-"], capture_output=True, text=True, encoding="utf-8", check=True)
    return [_lines(page) for page in done.stdout.split("<page ")[1:]]


def _lines(page):
    words = []
    for left, top, right, bottom, text in WORD.findall(page):
        words.append(Word(html.unescape(text), float(left), float(right), (float(top) + float(bottom)) / 2))
    lines = []
    for word in sorted(words, key=lambda word: word.middle):
        if not lines or word.middle - lines[-1][-1].middle > ONE_LINE:
            lines.append([])
        lines[-1].append(word)
    return [Line(sorted(line, key=lambda word: word.left)) for line in lines]


def sheets(path, kind):
    """The sheets of one kind in a file, by number; pages of the key table are left out."""
    found = {}
    current = None
    for lines in pages(path):
        title = lines[0].text.removesuffix(", answers")
        head = re.match(r"Sheet (\d+) · level (\d)", lines[1].text)
        if head and title == TITLES[kind]:
            current = Sheet(int(head[1]), int(head[2]))
            found[current.number] = current
            lines = lines[2:]
        elif ", continued" in lines[0].text:
            lines = lines[1:]
        else:
            current = None
        if current is not None:
            current.lines += [line for line in lines if not _foot(line.text)]
    return found


def _foot(text):
    return re.match(r"seed \d+ · ", text) or text.startswith("Practice numbers, not for a vehicle")


def mixed(kind, level, templates, first_vehicle="random"):
    """COUNT sheets with their keys and the arguments that made them: half of them about random vehicles on the first
    template, the others about built-in vehicles and templates in turn."""
    vehicles = kit.names("vehicles")
    arguments = [("--vehicle", first_vehicle, "--template", templates[0])]
    for index in range(max(len(vehicles), len(templates))):
        vehicle, template = vehicles[(index + level) % len(vehicles)], templates[index % len(templates)]
        arguments.append(("--vehicle", vehicle, "--template", template))
    share = max(1, COUNT // (2 * (len(arguments) - 1)))
    counts = [COUNT - share * (len(arguments) - 1), *[share] * (len(arguments) - 1)]
    for index, (one, count) in enumerate(zip(arguments, counts)):
        if count > 0:
            for exercise, answer in made(kind, level, count, *one, seed=100 * level + index):
                yield one, exercise, answer


def made(kind, level, count, *arguments, seed):
    """The sheets of `exercises.pdf` and of `answers.pdf` that a run of the binary leaves, in pairs."""
    shared = os.environ.get(kit.FOLDER_VARIABLE)
    with tempfile.TemporaryDirectory(dir=shared) as folder:
        kit.asked(
            "practice", "--kinds", kind, "--level", level, "--seed", seed, "--count", count, *arguments, "--out", folder
        )
        exercises = sheets(Path(folder) / "exercises.pdf", kind)
        answers = sheets(Path(folder) / "answers.pdf", kind)
    wanted = list(range(1, count + 1))
    assert sorted(exercises) == sorted(answers) == wanted
    assert {sheet.level for sheet in [*exercises.values(), *answers.values()]} == {level}
    return [(exercises[at], answers[at]) for at in wanted]
