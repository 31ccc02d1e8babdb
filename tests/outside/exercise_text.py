"""Exercises and their keys read back from the text of the PDF files alone, as `pdftotext` gives it.

Nothing here knows what the program computed: a sheet is lines of words with their places on paper, and the helpers
find cells by the column under whose heading they stand.

`exercise_layout.py` works a layout out from the printed rules, `taped_model.py` finds the one set of mistakes that explains printed
readings, `key_table.py` reads the key table; the rules of the order of work stand in its test. New words on a sheet have to be
taught to them.
"""

import html
import os
import re
import subprocess
import tempfile
from dataclasses import dataclass, field
from fractions import Fraction
from math import floor
from pathlib import Path

import kit

TITLES = {
    "set-out": "Set out on paper",
    "table": "Fill the table",
    "square": "Square or not?",
    "units": "Millimetres and inches",
    "desk": "The floor on a desk",
    "levels": "Is the floor level?",
    "order": "Order of work",
    "primer": "Words and signs of a layout",
    "service-text": "Read the service text",
    "overview": "Read the overview",
    "centreline": "Find the centreline",
    "true-scale": "Is the print true to scale?",
    "form": "Fill in the form",
    "judge": "Judge the layout",
    "record": "Check the record",
    "bay": "In the bay",
}

# Sheets of each kind at each of four levels: 500 of a kind. Fewer while a test is being written.
COUNT_VARIABLE = "BAYSTENCIL_PRACTICE_COUNT"
COUNT = int(os.environ.get(COUNT_VARIABLE, "125"))
LEVELS = (1, 2, 3, 4)

WORD = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')

# Words whose middles lie this near in height, points, stand on one line; the smallest lines are 7 points apart.
ONE_LINE = 2.0

# A space is 0.27 of a word's height wide, what two cells of a table keep apart at least 0.37.
SPACE = 0.33

# How near the middle of a cell's text lies to that of its row, points.
CENTRED = 1.2

# Far more than a page is high, points: pages of a sheet lie below one another.
NEXT_PAGE = 10_000.0

# A number in decimals, or inches with their fraction: 46 5/16, in a cell of a table read as 46+5/16.
PLAIN = r"(?:\d+[ +]\d+/\d+|\d+/\d+|\d+(?:\.\d+)?)(?![\d/])"
DECIMAL = r"[+−]?\d+(?:\.\d+)?"
NUMBER = rf"[+−]?{PLAIN}"
# The same in a cell of a table, beside which another cell may hold a fraction alone.
CELL = r"[+−±]?(?:\d+\+\d+/\d+|\d+/\d+|\d+(?:\.\d+)?)(?![\d/+])"
SIGNED = rf"[+−±]?{PLAIN}"
UNIT = r"(?:mm|in)"

# The arguments for sheets in mm and in inches; the latter on Letter, as in a shop that works in inches.
METRIC, INCHES = (), ("--units", "inch", "--paper", "Letter")
BOTH = (METRIC, INCHES)

# A job in inches is spelled as in the United States; read back it is as if it were not.
SPELLED = {
    "center": "centre", "centers": "centres", "centerline": "centreline", "tire": "tyre", "tires": "tyres", "meter": "metre",
    "meters": "metres", "centimeter": "centimetre", "centimeters": "centimetres", "millimeters": "millimetres",
}
# A mark of a station and a rail, a free mark on both sides, a plumbed wheel.
MARK = r"(?:\d+[LCR]\d*|P\d+[LR]|W[FR][LR])"


@dataclass(frozen=True)
class Word:
    text: str
    left: float
    right: float
    middle: float
    height: float


class Line(list):
    """Words from left to right."""

    @property
    def text(self):
        return " ".join(word.text for word in self)

    @property
    def middle(self):
        return sum(word.middle for word in self) / len(self)

    @property
    def left(self):
        return self[0].left

    @property
    def right(self):
        return self[-1].right

    @property
    def in_cells(self):
        """The text with whole inches and their fraction as one, 46+5/16, where no more than a space lies between them."""
        return " ".join(re.sub(r"(?<=\d) (?=\d+/\d+$)", "+", cell.text) if len(cell) == 2 else cell.text for cell in self.cells())

    def cells(self):
        """The line in parts, wherever more than a space lies between two words."""
        parts = [Line(self[:1])]
        for before, word in zip(self, self[1:]):
            if word.left - before.right > SPACE * word.height:
                parts.append(Line())
            parts[-1].append(word)
        return parts


@dataclass
class Sheet:
    """One exercise or its key: pages of lines without headings repeated and without the foot."""

    number: int
    level: int
    lines: list = field(default_factory=list)

    @property
    def text(self):
        """All words, single spaces between them, without the points of the questions."""
        return " ".join(self.split)

    @property
    def split(self):
        """The text of the lines, one by one."""
        return [Line(line[:-2]).text if _has_points(line) else line.text for line in self.lines]

    def question(self, number):
        """The lines of a question of this number without its points, to the next one or to the common wrong answers."""
        begin = next(index for index, line in enumerate(self.lines) if heads(line, number))
        rest = range(begin + 1, len(self.lines))
        end = (index for index in rest if heads(self.lines[index], number + 1) or self.lines[index].text.startswith("Wrong answers that"))
        # The points stand at the end of the first line, in the middle of the sentence.
        return Sheet(self.number, self.level, [Line(self.lines[begin][:-2]), *self.lines[begin + 1:next(end, len(self.lines))]])

    @property
    def inches(self):
        """True when its lengths are in inches."""
        return "inches" in self.text or re.search(rf"\d in\b", self.text) is not None

    @property
    def step(self):
        """From one graduation to the next, in the sheet's unit."""
        return 1 / 16 if self.inches else 1.0

    @property
    def mm(self):
        """mm of one unit of the sheet."""
        return 25.4 if self.inches else 1.0

    @property
    def questions(self):
        """The numbers of its questions."""
        return [int(line[0].text) for line in self.lines if _has_points(line)]

    def asking(self, words):
        """The question that says these words, or None."""
        return next((part for part in map(self.question, self.questions) if words in part.text), None)

    def given(self):
        """The lines above the first question."""
        begin = next(index for index, line in enumerate(self.lines) if heads(line, 1))
        return Sheet(self.number, self.level, self.lines[:begin])


def heads(line, number):
    """True for the first line of a question: its number alone at the left, its points at the right."""
    return line[0].text == str(number) and _has_points(line)


def _has_points(line):
    return len(line) > 2 and line[0].text.isdigit() and line[-2].text.isdigit() and line[-1].text in ("points", "point")


def number(text):
    """A number as it is printed: − for minus, and fractions of an inch."""
    sign = -1 if text.startswith("−") else 1
    return sign * float(sum(Fraction(part) for part in re.split("[ +]", text.lstrip("−+±"))))


def rounded(value, step=1.0):
    """To the nearest step, half a step away from zero; what binary numbers lose does not count."""
    return (1 if value >= 0 else -1) * floor(round(abs(value) / step, 6) + 0.5) * step


def side_by_side(lines, row):
    """The rows of a table that may stand in blocks side by side, down the first block and on with the next: groups of `row` on
    lines that hold nothing else."""
    whole, one = re.compile(rf"(?:{row})(?: (?:{row}))*"), re.compile(rf"(?:^| )(?:{row})(?=$| )")
    found = [(block, match.groups()) for line in lines if whole.fullmatch(line) for block, match in enumerate(one.finditer(line))]
    return [groups for _, groups in sorted(found, key=lambda one: one[0])]


def column(sheet, left, right):
    """The lines of the words that begin between two places across the paper, whatever stands beside them."""
    return _lines([word for line in sheet.lines for word in line if left <= word.left < right])


def beside(middles, lines):
    """The lines that make up the cell beside each of some labels: a cell's text stands about the middle of its row, so that
    one number of lines alone fits."""
    cells, at = [], 0
    for middle in middles:
        for end in range(at + 1, len(lines) + 1):
            centre = (lines[at].middle + lines[end - 1].middle) / 2
            if abs(centre - middle) < CENTRED:
                break
            assert centre < middle, f"nothing stands in the middle beside {lines[at].text}"
        cells.append(lines[at:end])
        at = end
    return cells


def by_name(sheet, count):
    """Rows of `count` numbers with the marks that they are of, from tables under "Mark" that may stand side by side; two marks
    of a row may stand below each other."""
    rows = []
    row = re.compile(rf"((?:{MARK},? )*)({CELL}(?: {CELL}){{{count - 1}}})")
    heads = [line for line in sheet.lines if any(word.text == "Mark" for word in line)]
    for head in heads:
        lefts = [word.left for word in head if word.text == "Mark"]
        below = [line for line in sheet.lines if line.middle > head.middle + ONE_LINE]
        below = below[:next((at for at, line in enumerate(below) if any(word.text == "Mark" for word in line)), len(below))]
        for left, right in zip(lefts, [*lefts[1:], float("inf")]):
            lines = column(Sheet(0, 0, below), left - 1, right - 1)
            numbers = [(line.middle, found) for line in lines if (found := row.fullmatch(line.in_cells))]
            lone = [line for line in lines if re.fullmatch(rf"{MARK},?", line.text)]
            for middle, found in numbers:
                near = [line for line in lone if abs(line.middle - middle) < line[0].height]
                names = re.findall(MARK, found[1] or " ".join(line.text for line in near))
                rows.append((tuple(names), re.findall(CELL, found[2])))
    return rows


def each_mark(rows):
    """A row for each mark of rows of pairs: what has ± is + of the first and − of the second."""
    found = {}
    for names, numbers in rows:
        for name, sign in zip(names, ("", "−")):
            assert name not in found and len(names) <= 2, name
            assert len(names) == 2 or not any("±" in text for text in numbers), name
            found[name] = [text.replace("±", sign) for text in numbers]
    return found


def lettered(sheet):
    """Letter → (text, what stands under "Number" or None) of a list to be numbered, which may stand in halves side by
    side and go on on another page."""
    found = {}
    heads = [line for line in sheet.lines if "What is done" in line.text and "Number" in line.text]
    for index, head in enumerate(heads):
        below = heads[index + 1].middle if index + 1 < len(heads) else float("inf")
        part = Sheet(0, 0, [line for line in sheet.lines if head.middle + ONE_LINE < line.middle < below - ONE_LINE])
        texts = [word.left for word in head if word.text == "What"]
        answers = [word.left for word in head if word.text == "Number"]
        assert len(texts) == len(answers), head.text
        for text, answer, end in zip(texts, answers, [*texts[1:], float("inf")]):
            names = [line.cells()[-1] for line in column(part, text - 40, text - 1)]
            names = [cell for cell in names if re.fullmatch("[a-z]", cell.text)]
            written = [line for line in column(part, answer - 1, end - 40)]
            for name, lines in zip(names, beside([cell.middle for cell in names], column(part, text - 1, answer - 1))):
                number = [line[0].text for line in written if abs(line.middle - name.middle) < CENTRED]
                assert name.text not in found, name.text
                found[name.text] = " ".join(line.text for line in lines), number[0] if number else None
    assert sorted(found) == [chr(ord("a") + index) for index in range(len(found))], sorted(found)
    return found


def numbers(text):
    return [number(found) for found in re.findall(NUMBER, text)]


def pages(path):
    """The lines of each page."""
    done = subprocess.run(["pdftotext", "-bbox", str(path), "-"], capture_output=True, text=True, encoding="utf-8", check=True)
    return [_lines(_words(page, NEXT_PAGE * number)) for number, page in enumerate(done.stdout.split("<page ")[1:])]


def _words(page, above):
    words = []
    for found in WORD.findall(page):
        left, top, right, bottom = map(float, found[:4])
        # A pair of marks is kept on one line by a space that does not break.
        text = html.unescape(found[4]).replace("\u00a0", " ")
        words.append(Word(british(text), left, right, above + (top + bottom) / 2, bottom - top))
    return words


def british(text):
    def spelled(word):
        found = SPELLED.get(word[0].lower(), word[0])
        return found.capitalize() if word[0][0].isupper() and found != word[0] else found
    return re.sub(r"[A-Za-z]+", spelled, text)


def _lines(words):
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
        # Sheets in inches are in American spelling.
        title = lines[0].text.removesuffix(", answers").replace("centerline", "centreline")
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
            current.lines += body(lines)
    return found


def body(lines):
    """The lines of a page above its foot, which begins with the program's name."""
    end = (at for at, line in enumerate(lines) if re.match(r"baystencil (?:practice |\d+\.\d+\.\d+)", line.text))
    return lines[:next(end, len(lines))]


def mixed(kind, level, templates, first_vehicle="random", units=(METRIC,)):
    """COUNT sheets with their keys and the arguments that made them: half of them about random vehicles on the templates in
    turn, the others about built-in vehicles and templates in turn; the units in turn as well."""
    vehicles = kit.names("vehicles")
    pairs = [(first_vehicle, template) for template in templates]
    for index in range(max(len(vehicles), len(templates))):
        pairs.append((vehicles[(index + level) % len(vehicles)], templates[index % len(templates)]))
    share, rest = divmod(COUNT, len(pairs))
    for index, (vehicle, template) in enumerate(pairs):
        count, one = share + (index < rest), ("--vehicle", vehicle, "--template", template, *units[index % len(units)])
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
