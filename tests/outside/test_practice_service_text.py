"""The template's values, taken from the printed paragraph as a technician reads it."""

import re
from fractions import Fraction

import pytest

from both_units import both, value
from exercise_text import LEVELS

TEMPLATES = ["perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs"]

# What is set out, in the words of the text, and the value that says where.
WHAT = {
    "the front end line": "front gap", "the rear end line": "rear gap",
    "the middle of the front panels": "front gap", "the middle of the rear panels": "rear gap",
    "the front cross lines": "front cross", "the rear cross lines": "rear cross",
    "the side lines": "side gap", "the middle of the side panels": "side gap",
    "the outer ends of the cross lines": "cross length",
    "the target line": "target distance", "the stand marks": "stand offset",
    "inner mark on the arc": "inner bearing", "middle mark on the arc": "middle bearing", "outer mark on the arc": "outer bearing",
    "the inner mark on the arc, the middle mark on the arc and the outer mark on the arc": "radius",
}
NAMES = set(WHAT.values())

N = r"(?P<n>[\d/. ]+?(?:mm|cm|m|in)|\d+ ft [\d/ ]+ in)"
SENTENCES = [
    rf"Set out (?P<what>.+?) {N} (?P<way>ahead of|behind) (?P<base>.+)\.",
    rf"From (?P<base>.+?) tape {N} (?P<way>forward|rearward) to (?P<what>.+)\.",
    r"Set out (?P<what>.+?) (?P<way>level with) (?P<base>.+)\.",
    rf"Set out (?P<what>.+?) {N} (?P<way>outside) (?P<base>.+), left and right alike\.",
    rf"Set out (?P<what>.+?) so that left and right lie {N} (?P<way>apart), the centreline half-way between\.",
    rf"Set out (?P<what>.+?) {N} (?P<way>from) (?P<base>the centreline|the rear corner of the body), left and right alike\.",
    rf"Set out (?P<what>.+?) on a (?P<way>circle) about (?P<base>the rear corner of the body) that measures {N} across, left and right alike\.",
    r"Sight the (?P<what>.+?) from the rear corner of the body, (?P<n>[\d.]+°) (?P<way>outward) of straight rearward\.",
    r"Sight the (?P<what>.+?) from the rear corner of the body, (?P<n>[\d.]+°) rearward of the line that runs (?P<way>square out)\.",
]
# What no layout needs.
NOT_NEEDED = re.compile(r"Tighten the wheel bolts|Set all tyres to|Keep the battery|Light the floor|Keep .* of floor clear")
SIZES = {"mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000), "in": Fraction(1)}


def british(text):
    """As it is written outside the United States."""
    return text.replace("center", "centre").replace("tires", "tyres").replace("tire ", "tyre ")


def length(text):
    """A length of the text, mm or inches."""
    if feet := re.fullmatch(r"(\d+) ft ([\d/ ]+) in", text):
        return 12 * int(feet[1]) + value(feet[2])
    if text.endswith("°"):
        return value(text.removesuffix("°"))
    number, unit = text.rsplit(" ", 1)
    return value(number) * SIZES[unit]


def paragraph(sheet):
    """The sentences of the service information."""
    text = british(re.search("“(.*?)”", sheet.text)[1])
    return re.split(r"(?<=\.) (?=[A-Z])", text)


def dimensions(sheet, unit):
    """The vehicle's dimensions where the sheet gives them."""
    cells = [british(cell.text) for line in sheet.given().lines for cell in line.cells()]
    pairs = zip(cells, cells[1:])
    return {name: value(text.removesuffix(f" {unit.name}")) for name, text in pairs if re.fullmatch(rf"[\d/. ]+ {unit.name}", text)}


def worked_out(found, sizes, known):
    """The value that a sentence states; `known` are those that have been worked out."""
    what, way, base = WHAT[found["what"]], found["way"], found.groupdict().get("base") or ""
    n = length(found["n"]) if way != "level with" else Fraction(0)
    if what in ("front gap", "rear gap", "target distance"):
        end, right = ("rear", ("behind", "rearward")) if what == "rear gap" else ("front", ("ahead of", "forward"))
        assert way in right, f"{what} lies {way}"
        return n if base == f"the {end} bumper" else n - sizes[f"{end} overhang"]
    if what in ("front cross", "rear cross"):
        assert base == f"the {what.split()[0]} wheel centres"
        return n if way in ("ahead of", "forward", "level with") else -n
    if what == "side gap":
        if way == "apart":
            faces = max(sizes["front track"], sizes["rear track"]) + sizes["tyre width"]
            return (n - (faces if found["what"] == "the side lines" else sizes["overall width"])) / 2
        assert base == ("the tyres' outer faces (of the wider track)" if found["what"] == "the side lines" else "the sides of the body")
        return n
    if what == "cross length":
        return n if base == "the side lines" else n - known["side gap"]
    if what == "stand offset":
        return n / 2 if way == "apart" else n
    if what == "radius":
        return n / 2 if way == "circle" else n
    return n if way == "outward" else 90 - n


def answers(sheet):
    """Value → what stands in its row."""
    found = {}
    for line in sheet.question(1).lines:
        cells = [cell.text for cell in line.cells()]
        if cells[0] in NAMES and cells[-1] in ("mm", "in", "°"):
            assert cells[0] not in found
            found[cells[0]] = cells[-2], cells[-1]
    return found


@pytest.mark.parametrize("level", LEVELS)
def test_the_values_are_those_that_the_text_states(level):
    turned = spare = 0
    units = set()
    for unit, where, exercise, answer in both("service-text", level, TEMPLATES):
        sentences = paragraph(exercise)
        assert sentences == paragraph(answer), where
        sizes = dimensions(exercise, unit) if level == 4 else {}
        needed = [text for text in sentences if not NOT_NEEDED.match(text)]
        spare += len(sentences) - len(needed)
        read = []
        for text in needed:
            fits = [found for pattern in SENTENCES if (found := re.fullmatch(pattern, text))]
            assert len(fits) == 1, f"{where}: {text}"
            read.append(fits[0])
        known = {}
        # The line further out may be stated with the one inside.
        for found in sorted(read, key=lambda one: WHAT[one["what"]] == "cross length"):
            name = WHAT[found["what"]]
            assert name not in known, f"{where}: {name} twice"
            known[name] = worked_out(found, sizes, known)
            text = found.groupdict().get("n") or ""
            units.add(text.rsplit(" ", 1)[-1] if "ft" not in text else "ft")
            turned += bool(text) and known[name] not in (length(text), -length(text))
        key = answers(answer)
        assert set(key) == set(answers(exercise)) == set(known), where
        for name, (text, _) in key.items():
            assert value(text) == known[name], f"{where}: {name} is {known[name]}, the key says {text}"
    assert (spare > 0) == (level > 1) and (turned > 0) == (level == 4)
    assert {"mm", "in"} <= units and ({"cm", "m", "ft"} <= units) == (level >= 3), units
