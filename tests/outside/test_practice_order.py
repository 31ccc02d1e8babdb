"""The order of work, judged by rules written down from the trade and by the printed text alone."""

import itertools
import re
from math import hypot

import pytest

from exercise_text import BOTH, LEVELS, MARK, NUMBER, PLAIN, lettered, mixed, number

TEMPLATES = ["perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs"]

# Lines to number by level; at level 4 all of them.
LINES = {1: 5, 2: 7, 3: 9}

# Half of a step, and what binary numbers and places printed to 0.001 mm lose.
ROUNDED = 0.5 + 2e-3

# What a line is about, by words of the trade.
ACTS = {
    "read codes": r"codes read and saved before anything",
    "chock": r"^Chock",
    "plumb": r"^Plumb the middle .* front and .* rear",
    "line below": r"^Push a string through below the vehicle",
    "strings": r"^Set off one distance square .* stretch strings past the wheels",
    "starts": r"^Carry to the strings",
    "stations": r"^Tape all stations along the strings",
    "offsets": r"^Set off square from the strings",
    "floor": r"^Check that the empty floor",
    "line": r"Snap a straight line along the bay",
    "zero": r"^Mark zero on the line",
    "base marks": r"^Tape from zero along the line and draw the base marks",
    "arcs": r"^Swing one tape .* where they meet",
    "drive on": r"^Drive the vehicle on",
    "checks": r"^Tape the check distances",
    "lay": r"^Lay the strips|^Lay the panels|^Lay strips and panels|^Lay the targets",
    "procedure": r"maker's procedure",
    "read again": r"codes again",
    "clear": r"^Clear everything away",
}

# First, then: common practice of setting out, written down without looking at the program. What starts from something
# needs it: a line runs through points, zero lies on the line, stations count from zero, a right angle stands on a
# station, tapes swing from base marks, a check follows the marks that it is between.
RULES = [
    ("read codes", "chock"), ("read codes", "floor"),
    ("chock", "plumb"),
    ("plumb", "line below"), ("line below", "strings"), ("strings", "starts"), ("starts", "stations"), ("stations", "offsets"),
    ("floor", "line"), ("line", "zero"), ("zero", "base marks"), ("base marks", "arcs"),
    ("offsets", "checks"), ("arcs", "checks"),
    ("checks", "lay"),
    ("lay", "procedure"), ("lay", "drive on"), ("drive on", "procedure"),
    ("procedure", "read again"),
    ("read again", "clear"),
]

WAYS = {
    "perpendicular way": {"chock", "plumb", "line below", "strings", "starts", "stations", "offsets"},
    "two-tape way": {"floor", "line", "zero", "base marks", "arcs", "drive on"},
}

# A habit to be crossed out, the line of the same list that it breaks, and a word of what it costs.
HABITS = [
    (r"each station from the one before", r"along the strings in one go|from zero along the line", "errors add up"),
    (r"badge without asking", r"^Plumb the middle|plumb its middle", "off centre"),
    (r"until its check distance fits", r"^Tape the check distances .* within its limit", "which mark is off"),
    (r"^Clear the fault codes before", r"codes read and saved before anything", "before the work"),
]


def reached():
    """Every pair that the rules put in order, over any number of steps."""
    known = set(RULES)
    while more := {(a, d) for (a, b), (c, d) in itertools.product(known, known) if b == c} - known:
        known |= more
    return known


ORDERED = reached()


def act(text):
    """The one thing that a line is about; None for a habit to be crossed out."""
    found = [name for name, words in ACTS.items() if re.search(words, text)]
    return found[0] if len(found) == 1 else None


def habit(text):
    """The habit that a line tells of, if any."""
    return next((one for one in HABITS if re.search(one[0], text)), None)


@pytest.mark.parametrize("level", LEVELS)
def test_every_line_stands_where_the_rules_of_the_trade_put_it(level):
    orders, checks = [], 0
    for arguments, exercise, answer in mixed("order", level, TEMPLATES, units=BOTH):
        where = f"level {level}, {' '.join(arguments)}, sheet {exercise.number}"
        asked, key = lettered(exercise.question(1)), lettered(answer.question(1))
        assert {letter: text for letter, (text, _) in asked.items()} == {letter: text for letter, (text, _) in key.items()}, where
        assert all(written is None for _, written in asked.values()), f"{where}: the sheet tells the answer"
        in_order = numbered(key, level, where)
        way = re.search(r"\((perpendicular way|two-tape way)\)", exercise.question(1).text)[1]
        other = next(acts for name, acts in WAYS.items() if name != way)
        acts = [act(key[letter][0]) for letter in in_order]
        assert None not in acts and len(set(acts)) == len(acts) and not other & set(acts), f"{where}: {acts}"
        # Each pair of neighbours is in order by the rules alone, so that no other order is right.
        for first, then in zip(acts, acts[1:]):
            assert (first, then) in ORDERED, f"{where}: nothing says that {first} comes before {then}"
        crossed(key, level, where)
        reasons(answer, key, in_order, where)
        orders.append(tuple(in_order))
        assert in_order != sorted(in_order), f"{where}: the lines stand in order as printed"
        if level == 4:
            checks += sum(followed(exercise.question(at), answer.question(at), where) for at in range(2, 2 + exercise.text.count("On the floor there are")))
    # Sheets of a class are not copies of each other; five lines have 119 orders that ask for something.
    assert len(set(orders)) > len(orders) // 3
    assert checks >= len(orders) or level < 4


def numbered(key, level, where):
    """The letters in order, each number once."""
    places = {int(written): letter for letter, (_, written) in key.items() if written != "X"}
    assert sorted(places) == list(range(1, len(places) + 1)), where
    assert len(places) == LINES[level] if level < 4 else len(places) >= 10, where
    return [places[at] for at in sorted(places)]


def crossed(key, level, where):
    """What is crossed out breaks a line of the same list, and nothing else does."""
    wrong = {letter for letter, (_, written) in key.items() if written == "X"}
    assert len(wrong) == (2 if level == 4 else 0), where
    for letter, (text, _) in key.items():
        broken = habit(text)
        assert (broken is not None) == (letter in wrong), f"{where}: {text}"
        if broken:
            assert any(re.search(broken[1], other) for line, (other, _) in key.items() if line not in wrong), f"{where}: {text} breaks no line"


def reasons(answer, key, in_order, where):
    """The worked answer goes through the lines in order; a wrong pair swaps neighbours."""
    worked = answer.question(1).text
    told = re.findall(r"(?:^| )(\d+|X) \(([a-z])\): ", worked)
    crossed_out = [letter for letter in sorted(key) if key[letter][1] == "X"]
    assert told[:len(in_order)] == [(str(at), letter) for at, letter in enumerate(in_order, 1)], where
    assert sorted(told[len(in_order):]) == [("X", letter) for letter in crossed_out], where
    for letter in crossed_out:
        reason = re.search(rf"X \({letter}\): (.*?)(?= X \(|$)", worked)[1]
        assert habit(key[letter][0])[2] in reason, f"{where}: {reason}"
    for later, earlier in re.findall(r"\b([a-z]) before ([a-z])\b(?! )", answer.text.split("Wrong answers that")[1]):
        assert in_order.index(later) == in_order.index(earlier) + 1, f"{where}: {later} before {earlier}"


def followed(exercise, answer, where):
    """The check that can be taped now and could not before, and its length from the printed places."""
    before, made = re.search(r"On the floor there are (.*?)\. A step has now made (.*?)\. Which", exercise.text).groups()
    made = re.findall(MARK, made)
    lie = {*re.findall(MARK, before), *made}
    assert made and not set(re.findall(MARK, before)) & set(made), where
    checks = [found for line in exercise.lines for found in re.findall(rf"({MARK}) to ({MARK})", line.text)]
    right = [pair for pair in checks if lie.issuperset(pair) and not set(made).isdisjoint(pair)]
    assert len(checks) == len(set(checks)) == 4 and len(right) == 1, f"{where}: {checks}"
    told = re.search(rf"({MARK}) to ({MARK}): both marks lie by then", answer.text).groups()
    assert told == right[0], f"{where}: {told} instead of {right[0]}"
    row = re.compile(rf"({MARK}) ({NUMBER}) ({NUMBER})(?=$| {MARK})")
    places = {name: (number(x), number(y)) for line in exercise.split for name, x, y in row.findall(line)}
    assert set(places) == {name for pair in checks for name in pair}, where
    reading = re.search(rf"The tape should read ({PLAIN})", answer.text)[1]
    distance = hypot(*(p - q for p, q in zip(*(places[name] for name in told))))
    assert abs(distance - number(reading)) <= ROUNDED * exercise.step, f"{where}: {told} is {distance} from the printed places, the key says {reading}"
    root = re.search(rf"√\(\(station difference ({NUMBER})\)² \+ \(offset difference ({NUMBER})\)²\) = ({PLAIN}) (?:mm|in)", answer.text)
    assert abs(hypot(number(root[1]), number(root[2])) - number(root[3])) <= ROUNDED * exercise.step and root[3] == reading, where
    return 1
