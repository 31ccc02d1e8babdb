"""What a layout takes: recalculated from marks, lines, sheets and readings, and said where people look for it."""

import json
import math
import re
import subprocess

import pytest

import kit
from floor import middle

JOBS = [(vehicle, template) for vehicle in ("city-car", "delivery-van") for template in kit.names("templates")]
SPARE = 1.1


def text_of(made, name):
    return " ".join(subprocess.run(
        ["pdftotext", "-l", "2", str(made.path(name)), "-"], capture_output=True, text=True, encoding="utf-8", check=True,
    ).stdout.split())


@pytest.mark.parametrize(("vehicle", "template"), JOBS)
def test_what_it_takes_is_what_plan_and_sheets_have(vehicle, template):
    made = kit.made("--vehicle", vehicle, "--template", template)
    plan, takes = made.plan, made.plan["takes"]
    lengths = {}
    for line in plan["lines"]:
        length = math.dist(*middle(made.marks, line))
        lengths[line["width_mm"]] = lengths.get(line["width_mm"], 0) + SPARE * length
    assert {strip["width_mm"]: strip["length_mm"] for strip in takes["strips"]} == pytest.approx(lengths, abs=0.01)
    assert takes["panels"] == len(plan["panels"])
    assert takes["floor_mm"] == [plan["floor"]["length_mm"], plan["floor"]["width_mm"]]
    assert takes["paper"] == {"name": "A4", "sheets": made.sheets["count"], "pages": made.sheets["count"], "roll_mm": None}
    pulls = [pull["distance_mm"] for step in plan["setting_out"]["perpendicular"] for pull in step["tape"] + step["check"]]
    longest = max(pulls + [check["distance_mm"] for check in plan["checks"]])
    assert takes["longest_tape_mm"] == pytest.approx(longest)
    assert takes["people"] == (2 if longest > 3000 else 1)
    minutes = takes["minutes"]
    assert minutes["check"] == pytest.approx(plan["proof"]["minutes"])
    assert minutes["total"] == pytest.approx(sum(minutes[part] for part in ("print", "join", "lay", "strips", "check")), abs=1e-3)
    assert takes["cut_mm"] > 0
    # Said on sheet 0 and on the first page of the steps, in whole metres rounded up.
    for name in ("stencils.pdf", "steps.pdf"):
        text = text_of(made, name)
        assert f"measuring tape of class {takes['tape_class']}, {math.ceil(longest / 1000)} m or longer" in text
        for strip in takes["strips"]:
            assert f"tape strip {strip['width_mm']:g} mm wide: {math.ceil(strip['length_mm'] / 1000)} m" in text
        assert "two people" in text and "own estimate" in text


def test_a_run_ends_with_what_it_takes_and_three_lines_of_what_to_do_next(tmp_path):
    done = kit.run("kit", "--units", "inch", "--paper", "letter", "--json", "-o", "k", folder=tmp_path)
    said = done.stderr.splitlines()
    at = next(index for index, line in enumerate(said) if "it takes: " in line)
    assert re.search(r"\d+ print sheets of Letter; .* ft or longer; .* ft × .* ft, two people, roughly \d+ min", said[at])
    assert " mm" not in said[at] and not re.search(r"\d m\b", said[at])
    assert [line.split(": ")[-1].split()[0] for line in said[at + 1:at + 4]][1:] == ["then", "baystencil"]
    assert "page 1 of stencils.pdf at 100 %" in said[at + 1] and "baystencil check k/readings.csv" in said[at + 3]
    summary = json.loads(done.stdout)
    assert summary["takes"] == json.loads((tmp_path / "k" / "plan.json").read_text("utf-8"))["takes"]


def test_sheet_0_lays_the_sheets_that_begin_a_piece_by_two_of_their_points():
    made = kit.made("--vehicle", "delivery-van", "--template", "perimeter-lines")
    over = {joint for sheet in made.sheets["sheets"] for joint in ([sheet["label"]] if sheet["cut"] else [])}
    begin = [sheet for sheet in made.sheets["sheets"] if sheet["label"] not in over]
    words = subprocess.run(
        ["pdftotext", "-layout", "-l", "2", str(made.path("stencils.pdf")), "-"],
        capture_output=True, text=True, encoding="utf-8", check=True,
    ).stdout
    along, across = r"(?:at 0|(\d+) (forward|rearward))", r"(?:on centreline|(\d+) (left|right))"
    rows = re.findall(rf"^\s*(\d+)\s+(\d[LCR]\S*)\s+{along}\s+{across}\s+(r\d+)\s+{along}\s+{across}", words, re.M)
    assert [row[0] for row in rows] == [sheet["label"] for sheet in begin]

    def place(x, way, y, side):
        return [int(x or 0) * (-1 if way == "rearward" else 1), int(y or 0) * (-1 if side == "right" else 1)]

    for row, sheet in zip(rows, begin):
        assert place(*row[2:6]) == pytest.approx(made.marks[row[1]], abs=0.5)
        other = next(mark for mark in sheet["registration"] if mark["id"] == row[6])
        assert place(*row[7:11]) == pytest.approx([other["x_mm"], other["y_mm"]], abs=0.51)
    assert [row[1] for row in rows[:2]] == made.plan["tape_base"]
    assert sorted(row[1] for row in rows[2:6]) == ["1L", "1R", "4L", "4R"]
