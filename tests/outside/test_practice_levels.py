"""Heights of the exercises: the plane by numpy's least squares from the printed table, against the printed key."""

import re

import numpy as np
import pytest

from exercise_text import BOTH, LEVELS, NUMBER, PLAIN, mixed, number, side_by_side

TEMPLATES = ["perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs"]

# Half of the last printed digit, and what binary numbers lose.
ROUNDED = 0.005 + 1e-9

# Heights that lie in one plane leave no more than what binary numbers lose. Staff readings of level 3 lie up to one step, 1 mm
# or 1/16 in, beside it.
IN_PLANE = 1e-6
STAFF = 1.5

# A slope as a number without a unit becomes mm per metre, or inches on ten feet.
PER = {False: 1000, True: 120}
SLOPE_UNIT = r"(?:mm/m|in per 10 ft)"

POINT = rf"([A-Z0-9]+) ({NUMBER}) ({NUMBER}) ({PLAIN})"


def points(sheet):
    """Name → (forward, left, height) from the table; a staff reads more where the floor is lower."""
    lines = sheet.given().split
    staff = any("staff" in line for line in lines)
    found = {}
    for name, forward, left, height in side_by_side(lines, POINT):
        found[name] = np.array([number(forward), number(left), -number(height) if staff else number(height)])
    return found


def plane(places):
    """Slope along, slope across (mm per mm) and height at the origin, with the residuals."""
    table = np.array(places)
    design = np.column_stack([table[:, 0], table[:, 1], np.ones(len(table))])
    solved = np.linalg.lstsq(design, table[:, 2], rcond=None)[0]
    return solved, design @ solved - table[:, 2]


def printed_slope(text, of, rising, falling):
    """The last slope named, mm/m, positive when it rises."""
    found = re.findall(rf"slope {of} .* = ([+−]?\d+\.\d\d) {SLOPE_UNIT}: ({rising}|{falling}|level)", text)[-1]
    assert found[1] == {1: rising, 0: "level", -1: falling}[int(np.sign(number(found[0])))], text
    return number(found[0])


@pytest.mark.parametrize("level", LEVELS)
def test_slopes_low_corner_and_the_point_beside_the_plane_are_those_of_least_squares(level):
    for arguments, exercise, answer in mixed("levels", level, TEMPLATES, units=BOTH):
        where = f"level {level}, {' '.join(arguments)}, sheet {exercise.number}"
        asked, key = points(exercise), points(answer)
        assert {name: tuple(place) for name, place in asked.items()} == {name: tuple(place) for name, place in key.items()}, where
        assert len(asked) == (6 if level == 4 else 4), where
        drawn(exercise, asked, where)
        sound, first = dict(asked), 1
        if level == 4:
            sound.pop(beside(asked, answer, where))
            first = 3
        (along, across, _), residuals = plane(list(sound.values()))
        assert np.abs(residuals).max() < (STAFF * exercise.step if level == 3 else IN_PLANE), f"{where}: not a plane, {residuals}"
        per = PER[exercise.inches]
        along, across = per * along, per * across
        slopes = answer.question(first).text, answer.question(first + 1).text
        assert printed_slope(slopes[0], "along", "rises forward", "falls forward") == pytest.approx(along, abs=ROUNDED), where
        assert printed_slope(slopes[1], "across", "rises to the left", "falls to the left") == pytest.approx(across, abs=ROUNDED), where
        greatest = re.search(rf"= (\d+\.\d\d) {SLOPE_UNIT} in percent: .* = (\d+\.\d\d) %", answer.question(first + 2).text)
        assert number(greatest[1]) == pytest.approx(np.hypot(along, across), abs=ROUNDED), where
        assert number(greatest[2]) == pytest.approx(100 * np.hypot(along, across) / per, abs=ROUNDED), where
        low(answer.question(first + 3).text, {**asked, **sound}, (along, across), where)
        if level == 3:
            limit = number(re.search(r"may slope by ([\d.]+) (?:mm per metre|inches per 10 ft)", exercise.text)[1])
            told = answer.question(5).text
            assert ("beyond the limit." in told, "within the limit." in told) == (
                np.hypot(along, across) > limit, np.hypot(along, across) <= limit
            ), where


def drawn(sheet, asked, where):
    """The picture says the same heights as the table."""
    lines = [line for line in sheet.given().split if not side_by_side([line], POINT)]
    shown = dict(re.findall(rf"\b([1-9A-Z][A-Z]\d?) ({PLAIN})", " ".join(lines)))
    assert {name: abs(number(text)) for name, text in shown.items()} == {name: abs(place[2]) for name, place in asked.items()}, where


def beside(asked, answer, where):
    """The one point without which the others lie in a plane."""
    fits = []
    for name, place in asked.items():
        (along, across, zero), residuals = plane([other for known, other in asked.items() if known != name])
        if np.abs(residuals).max() < IN_PLANE:
            fits.append((name, place[2] - (along * place[0] + across * place[1] + zero)))
    assert len(fits) == 1, f"{where}: {fits}"
    name, over = fits[0]
    told = re.search(rf"(\w+) lies ({NUMBER}) (?:mm|in) (above|below) the plane", answer.question(2).text)
    assert told[1] == name and number(told[2]) * (1 if told[3] == "above" else -1) == pytest.approx(over, abs=ROUNDED), where
    names = {tuple(np.sign(place[1:2])) + (place[0],): known for known, place in asked.items()}
    forwards = sorted({place[0] for place in asked.values()}, reverse=True)
    height = {key: asked[known][2] for key, known in names.items()}
    for half, (front, rear) in {"front": forwards[:2], "rear": forwards[1:]}.items():
        twist = (height[1, front] + height[-1, rear]) / 2 - (height[-1, front] + height[1, rear]) / 2
        printed = re.search(rf"{half} half: .*? = ({NUMBER}) (?:mm|in)\b", answer.question(1).text)[1]
        assert number(printed) == pytest.approx(twist, abs=ROUNDED), where
    return name


def low(text, asked, slopes, where):
    """The corner with the lowest plane, or the side or end that is low as a whole; and which way the floor falls."""
    named, way = re.search(r"(\w+): the floor falls ([a-z ]+)\.", text).groups()
    along, across = slopes
    sides = {"front": (1, 0), "rear": (-1, 0), "left": (0, 1), "right": (0, -1)}
    corners = {name: np.sign([place[0] - np.mean([p[0] for p in asked.values()]), place[1]]) for name, place in asked.items()}
    choices = sides if named in sides else corners
    falls = {name: -(along * forward + across * left) for name, (forward, left) in choices.items()}
    assert falls[named] == pytest.approx(max(falls.values())), where
    words = {"forward": (1, 0), "front": (1, 0), "rearward": (-1, 0), "rear": (-1, 0), "left": (0, 1), "right": (0, -1)}
    for word in way.split():
        if word in words:
            assert -(along * words[word][0] + across * words[word][1]) > 0, f"{where}: falls {way}"
