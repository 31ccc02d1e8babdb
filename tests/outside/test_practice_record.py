"""Check the record: which lines are wrong, and what is done, found from the words of the record alone."""

import re
from collections import Counter

import pytest

from exercise_text import LEVELS, beside, column
from practice_pages import LENGTH, SIGNED, length, runs

COUNTS = {"one": 1, "two": 2, "three": 3, "four": 4}
MONTHS = "January|March|May|June|September|October"
TIME = r"(\d+):(\d\d)"
TAPED = re.compile(rf"(.+): should be ({LENGTH}), read ({LENGTH}), off ({SIGNED}), limit ± ({LENGTH}) (?:mm|in)")

# What a box of the second question says, by what it puts right.
REMEDIES = {
    "service": "name document and page of the maker's service information",
    "codes after": "read the fault codes again and save them",
    "signature": "have the one who laid it out sign",
    "picture": "lay the strips again and check the picture over them",
    "date": "clear up the date with the office: no work without an order",
    "limit": "put the mark right and tape again before it is called inside",
    "difference": "work the difference out again and write it in",
    "codes before": "write down that the codes of before the work are lost",
    "vehicle": "clear up with the office which vehicle it was",
    "calibrated": "strike out what a layout cannot show",
}


def lines(sheet):
    """Number → (label, text) of the record."""
    given = sheet.given()
    head = next(line for line in given.lines if line.text == "line of what the record says")
    lefts = [word.left for word in head]
    below = type(given)(0, 0, [line for line in given.lines if line.middle > head.middle + 2])
    numbers = [line for line in column(below, 0, lefts[1] - 1) if line.text.isdigit()]
    middles = [line.middle for line in numbers]
    labels = beside(middles, column(below, lefts[1] - 1, lefts[2] - 1))
    texts = beside(middles, column(below, lefts[2] - 1, 1e9))
    joined = [[" ".join(line.text for line in cell) for cell in cells] for cells in (labels, texts)]
    assert [int(line.text) for line in numbers] == list(range(1, len(numbers) + 1))
    return dict(zip(map(lambda line: int(line.text), numbers), zip(*joined)))


def minutes(found, at=1):
    return 60 * int(found[at]) + int(found[at + 1])


def faults(record):
    """Line → what is wrong with it, by the rules of the page."""
    at = {label: number for number, (label, _) in record.items() if label != "as measured"}
    said = {label: text for label, text in record.values() if label != "as measured"}
    found = {}
    for label, what in [("service information", "service"), ("fault codes after", "codes after"), ("laid out and taped by", "signature"), ("picture in reverse gear", "picture")]:
        if said[label] == "–":
            found[at[label]] = what
    order = re.fullmatch(rf"no\. \d+, fleet vehicle (\d+), received (\d+) ({MONTHS}): .+", said["order"])
    begun = re.match(rf"(\d+) ({MONTHS}), {TIME}; ", said["work begun"])
    assert begun[2] == order[3]
    if int(begun[1]) < int(order[2]):
        found[at["work begun"]] = "date"
    if re.match(r"fleet vehicle (\d+),", said["vehicle"])[1] != order[1]:
        found[at["vehicle"]] = "vehicle"
    before = re.fullmatch(f"read and saved at {TIME}", said["fault codes before"])
    if minutes(before) >= minutes(begun, 3):
        found[at["fault codes before"]] = "codes before"
    beyond = False
    taped = [(number, TAPED.fullmatch(text)) for number, (label, text) in record.items() if label == "as measured"]
    assert len(taped) == 4 and all(row for _, row in taped)
    for number, row in taped:
        off = length(row[3]) - length(row[2])
        if off != length(row[4]):
            found[number] = "difference"
        beyond |= abs(off) > length(row[5])
    layout = re.fullmatch(f"inside: all readings within their limits; taped at {TIME}", said["layout"])
    if beyond:
        found[at["layout"]] = "limit"
    picture = re.fullmatch(f"checked at {TIME}; strips taken up at {TIME}", said["picture in reverse gear"])
    if picture:
        assert minutes(layout) < min(minutes(picture), minutes(picture, 3))
        if minutes(picture) > minutes(picture, 3):
            found[at["picture in reverse gear"]] = "picture"
    if "calibrated" in said["note"]:
        found[at["note"]] = "calibrated"
    return found


@pytest.mark.parametrize("level", LEVELS)
def test_the_faults_of_the_record_are_those_of_the_key(level):
    kinds, texts = Counter(), set()
    for run in runs("record", level):
        found = faults(lines(run.sheet))
        promised = COUNTS[re.search(r"There (?:is|are) (\w+) faults? on it", run.sheet.text)[1]]
        assert len(found) == promised == level, (run.arguments, run.number, found)
        assert run.key["lines"] == ", ".join(str(line) for line in sorted(found))
        boxes = run.sheet.asking("What has to be done").text
        letter = {what: re.search(rf"(\w): {re.escape(words)}", boxes)[1] for what, words in REMEDIES.items()}
        assert run.key["to be done"] == ", ".join(sorted({letter[what] for what in found.values()}))
        assert len(set(found.values())) == level
        kinds.update(found.values())
        texts.add(run.sheet.text)
    assert len(kinds) >= min(4, level + 3) and len(texts) > 4
