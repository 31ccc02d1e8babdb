"""Strips of a roll and the floor on one page: the floor put together again, page by page of its own length."""

import functools
import re

import pymupdf
import pytest
from shapely.geometry import box

import kit
import paper
import proof
import sheet as sheet_module
import vectors
from floor import Floor

# 1 in = 25.4 mm exactly. Margins of a roll printer as the README states them: left, right, top (trailing), bottom.
ROLLS = {"36in": 36 * 25.4, "610mm": 610.0}
MARGINS_MM = (5.0, 5.0, 15.0, 15.0)
LAYOUTS = ("perimeter-lines", "side-and-end-panels")
SLANTING = str(kit.ROOT / "tests" / "outside" / "inputs" / "job.toml")

# ISO 32000: a plain page has at most 14 400 units of 1/72 in.
LARGEST_UNITS = 14_400
UNIT_TOLERANCE = 0.005


def arguments():
    cases = {f"{layout}-{width}": ("--roll", width, "--template", layout) for layout in LAYOUTS for width in ROLLS}
    # Slanting lines, a turned panel, and a printer whose margins differ on all four sides.
    cases["slanting-610mm"] = (SLANTING, "--roll", "610mm")
    return cases


@functools.lru_cache(maxsize=2)
def opened(name):
    made = kit.made(*arguments()[name], "--single-page")
    sheets, others = sheet_module.sheets_of(made)
    return made, Floor(made.plan), sheets, others


@pytest.fixture(params=[pytest.param(name, marks=pytest.mark.xdist_group(name)) for name in arguments()])
def strips(request):
    return opened(request.param)


def assert_none(faults):
    assert not faults, f"{len(faults)} faults:\n" + "\n".join(map(str, faults[:20]))


def printable(made, entry):
    margins = made.sheets["margins_mm"]
    width, length = entry["page_mm"]
    return margins["left"], margins["bottom"], width - margins["right"], length - margins["top"]


def test_the_floor_comes_together_again(strips):
    _, floor, sheets, _ = strips
    assert floor.bands or floor.fields
    assert_none(proof.all_faults(floor, sheets))


def test_a_nudged_or_a_missing_strip_would_be_noticed():
    _, floor, sheets, _ = opened("perimeter-lines-36in")
    for index in range(0, len(sheets), 4):
        rest = [*sheets[:index], *sheets[index + 1 :]]
        assert proof.uncovered(floor, rest)
        assert proof.all_faults(floor, [*rest, sheets[index].moved(0, 0.1)])


def test_every_page_has_the_rolls_width_and_a_length_that_plain_pages_may_have(strips):
    made, _, sheets, others = strips
    assert not others, "stencils.pdf holds strips only"
    assert [sheet.number for sheet in sheets] == list(range(1, len(sheets) + 1))
    width = made.sheets["paper"]["width_mm"]
    assert width in ROLLS.values() or width == pytest.approx(36 * 25.4)
    with pymupdf.open(made.path("stencils.pdf")) as document:
        assert document.page_count == made.sheets["count"] >= made.sheets["lower_bound"] >= 1
        for entry in made.sheets["sheets"]:
            page = document[entry["page"] - 1]
            stated = [float(n) for n in re.findall(r"[-\d.]+", document.xref_get_key(page.xref, "MediaBox")[1])]
            assert stated[:2] == [0, 0] and max(stated) <= LARGEST_UNITS
            assert stated[2:] == pytest.approx([side * paper.POINTS_PER_MM for side in entry["page_mm"]], abs=UNIT_TOLERANCE)
            assert entry["page_mm"][0] == pytest.approx(width)
            assert document.xref_get_key(page.xref, "UserUnit")[0] == "null"


def test_no_strip_prints_into_the_margins_and_each_proves_its_scale(strips):
    made, _, sheets, _ = strips
    for entry, sheet in zip(made.sheets["sheets"], sheets):
        page = [(f"strip {sheet.label}", sheet.page)]
        assert_none(proof.outside(page, printable(made, entry)))
        assert_none(proof.missing_scale(page))
        lengths = (1000.0, 500.0, 200.0)
        assert any(proof._bar(sheet.page, length) for length in lengths), f"{sheet.label} has no dimension bar"
    assert_none([s.label for s in sheets if s.page.height > 1100 and not proof._bar(s.page, 1000.0)])


def test_margins_are_a_roll_printers_unless_a_profile_says_otherwise():
    for name in ("perimeter-lines-36in", "slanting-610mm"):
        stated = opened(name)[0].sheets["margins_mm"]
        sides = tuple(stated[side] for side in ("left", "right", "top", "bottom"))
        # The profile in inputs/job.toml: 18, 14, 12.7 (1/2 in) and 20 mm.
        assert sides == pytest.approx(MARGINS_MM if name.startswith("perimeter") else (18, 14, 12.7, 20))


def test_a_strips_label_is_read_every_two_metres(strips):
    _, _, sheets, _ = strips
    for sheet in sheets:
        found = sorted(text.at[1] for text in sheet.page.texts if text.content == sheet.label and text.cap_height > 6.9)
        assert found, f"{sheet.label} does not name itself"
        ends = [0, *found, sheet.page.height]
        assert max(b - a for a, b in zip(ends, ends[1:])) < 2000, (sheet.label, found)


def test_each_strip_is_an_svg_of_its_true_size_with_the_same_lines(strips):
    made, _, sheets, _ = strips
    names = {path.name for path in made.folder.iterdir()}
    assert {name for name in names if name.startswith("strip-")} == {f"strip-{s.label}.svg" for s in sheets}
    for entry in made.sheets["sheets"]:
        text = made.read(f"strip-{entry['label']}.svg")
        width, height = (float(re.search(rf'{side}="([\d.]+)mm"', text)[1]) for side in ("width", "height"))
        assert (width, height) == pytest.approx(entry["page_mm"], abs=1e-4)
        view = [float(n) for n in re.search(r'viewBox="([^"]+)"', text)[1].split()]
        assert view == pytest.approx([0, 0, width, height], abs=1e-4)
        assert re.search(r'<g id="(lines|panels|marks)"', text) and '<g id="labels"' in text


def test_the_assembly_page_is_on_office_paper_in_a_file_of_its_own(strips):
    made, _, _, _ = strips
    pages = vectors.read(made.path("assembly.pdf"))
    x0, y0, x1, y1 = 10, 15, pages[0].width - 10, pages[0].height - 10
    for page in pages:
        assert (page.width, page.height) in (pytest.approx((210, 297), abs=0.01), pytest.approx((215.9, 279.4), abs=0.01))
    assert_none(proof.outside([(f"page {i}", page) for i, page in enumerate(pages, 1)], (x0, y0, x1, y1)))
    assert not proof.missing_scale([("page 1", pages[0])])
    words = " ".join(text.content for page in pages for text in page.texts)
    assert f"roll {made.sheets['paper']['width_mm']:g} mm" in words


def test_the_same_roll_gives_the_same_bytes(tmp_path):
    made = opened("perimeter-lines-36in")[0]
    kit.asked("kit", *arguments()["perimeter-lines-36in"], "--single-page", "-o", tmp_path / "again")
    for path in sorted(made.folder.iterdir()):
        assert (tmp_path / "again" / path.name).read_bytes() == path.read_bytes(), path.name


def key(document, page, name):
    kind, text = document.xref_get_key(page.xref, name)
    return None if kind == "null" else [float(n) for n in re.findall(r"[-\d.]+", text)]


def single_page(made):
    """MediaBox, UserUnit, and the ends of every long straight line as they stand in the content, in units."""
    with pymupdf.open(made.path("floor-single.pdf")) as document:
        assert document.page_count == 1
        page = document[0]
        media, unit = key(document, page, "MediaBox"), key(document, page, "UserUnit")
        content = page.read_contents().decode("latin-1")
        shrink = re.match(r"\s*q\s+([\d.]+) 0 0 ([\d.]+) 0 0 cm", content)
        factor = 1.0 if shrink is None else float(shrink[1])
        number = r"(-?[\d.]+)"
        moves = re.findall(rf"{number} {number} m\s+{number} {number} l\s+S", content)
        assert moves
        return media, unit, [tuple(float(n) * factor for n in line) for line in moves]


def test_a_floor_longer_than_5080_mm_has_units_of_ten_points_and_true_lengths():
    made = opened("perimeter-lines-36in")[0]
    media, unit, lines = single_page(made)
    assert unit == [10] and max(media) <= LARGEST_UNITS
    floor_svg = made.read("floor.svg")
    width = float(re.search(r'width="([\d.]+)mm"', floor_svg)[1])
    assert media[2] * 10 / paper.POINTS_PER_MM == pytest.approx(width, abs=0.01) and width > 5080
    # The vehicle's centreline: from the rear to the front base mark.
    xs = sorted(x for x, y in made.marks.values() if abs(y) < 1e-9)
    wanted = xs[-1] - xs[0]
    lengths = [abs(x1 - x0) * 10 / paper.POINTS_PER_MM for x0, y0, x1, y1 in lines if abs(y0 - y1) < 1e-6]
    assert any(length == pytest.approx(wanted, abs=0.02) for length in lengths), (wanted, sorted(lengths)[-5:])
    words = " ".join(text.content for text in vectors.read(made.path("floor-single.pdf"))[0].texts)
    assert "UserUnit" in words


def test_a_reader_that_ignores_user_units_shows_a_tenth():
    made = opened("perimeter-lines-36in")[0]
    # A reader without the key sees a page of a tenth of the floor, not of nearly its size.
    media, unit, _ = single_page(made)
    assert media[2] / paper.POINTS_PER_MM < 1000 and unit == [10]


def test_a_floor_within_5080_mm_is_a_plain_page_without_a_warning(tmp_path):
    # A car of 3548 mm, a line 1000 mm ahead of it, and 60 mm of clear edge: less than 5080 mm.
    short = ("--vehicle", "city-car", "--template", "target-line", "--set", "target_distance=1000")
    done = kit.run("stencils", *short, "--single-page", "-o", tmp_path / "k")
    assert done.returncode == 0 and "UserUnit" not in done.stderr, done.stderr
    media, unit, _ = single_page(kit.Kit(tmp_path / "k"))
    assert unit is None and 4600 < media[2] / paper.POINTS_PER_MM < 5080


def test_the_warning_goes_to_stderr(tmp_path):
    done = kit.run("stencils", "--single-page", "-o", tmp_path / "k")
    assert done.returncode == 0 and "UserUnit" in done.stderr and "tenth" in done.stderr and not done.stdout
    assert not (tmp_path / "k" / "assembly.pdf").exists()


def test_a_job_may_name_the_roll_and_a_paper_flag_wins(tmp_path):
    job = 'format = "job/1"\nvehicle = "city-car"\ntemplate = "target-line"\npaper = "Letter"\nroll = "24 in"\n'
    (tmp_path / "job.toml").write_text(job, encoding="utf-8")
    kit.asked("stencils", "job.toml", "-o", "roll", folder=tmp_path)
    made = kit.Kit(tmp_path / "roll")
    assert made.sheets["paper"]["name"] == "24 in roll"
    assert vectors.read(made.path("assembly.pdf"))[0].width == pytest.approx(215.9, abs=0.01)
    kit.asked("stencils", "job.toml", "--paper", "A3", "-o", "sheets", folder=tmp_path)
    assert kit.Kit(tmp_path / "sheets").sheets["paper"]["name"] == "A3"


REFUSED = {
    "no length": (("--roll", "A4"), "A4"),
    "out of range": (("--roll", "5 mm"), "5 mm wide is out of range"),
    "narrower than a tape strip": (("--roll", "130mm", "--set", "strip=150 mm"), "widest tape strip of 150 mm"),
    "no room for lettering": (("--roll", "120mm"), "125"),
    "keys": (("--roll", "36in", "--mode", "keys"), "keys are printed on sheets"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_a_roll_that_cannot_be_used_is_refused_and_nothing_is_written(case, tmp_path):
    flags, said = REFUSED[case]
    template = ("--template", "perimeter-lines")
    done = kit.run("kit", *template, *flags, "-o", "out", folder=tmp_path)
    assert done.returncode == 3 and said in done.stderr and "panicked" not in done.stderr, done.stderr
    assert not (tmp_path / "out").exists()


def test_margins_larger_than_the_roll_are_refused(tmp_path):
    profile = 'format = "printer/1"\nname = "wide edges"\nmargin_left = 60\nmargin_right = 60\n'
    (tmp_path / "p.toml").write_text(profile, encoding="utf-8")
    done = kit.run("kit", "--roll", "110mm", "--printer", "p.toml", "-o", "out", folder=tmp_path)
    assert done.returncode == 3 and "margins of 120 mm" in done.stderr and "110 mm wide" in done.stderr, done.stderr
    assert not (tmp_path / "out").exists()


def test_a_roll_and_a_paper_on_one_command_line_are_for_strips_and_for_pages_to_carry(tmp_path):
    kit.asked("kit", "--template", "target-line", "--roll", "36in", "--paper", "Letter", "-o", "out", folder=tmp_path)
    made = kit.Kit(tmp_path / "out")
    assert made.sheets["paper"]["name"] == "36 in roll"
    for name in ("assembly.pdf", "overview.pdf", "steps.pdf"):
        assert vectors.read(made.path(name))[0].width == pytest.approx(215.9, abs=0.01), name


def test_cells_of_strips_lie_on_the_floor_they_are_said_to_show(strips):
    made, _, sheets, _ = strips
    for entry, sheet in zip(made.sheets["sheets"], sheets):
        assert sheet.on_page(sheet.window).symmetric_difference(box(*printable(made, entry))).area < 1e-3


# A roll printer that prints 1.5 % too long: its pages are shorter by as much, and show the same floor.
LONG = """format = "printer/1"
name = "long"
margin_left = 5
margin_right = 5
margin_top = 15
margin_bottom = 15
[correction]
of = 200
x = 200
y = 203
"""


def test_a_correction_shortens_the_pages_and_not_the_floor_on_them(tmp_path):
    profile = tmp_path / "long.toml"
    profile.write_text(LONG, encoding="utf-8")
    made = kit.made("--roll", "610mm", "--template", "target-line", "--printer", str(profile))
    sheets, _ = sheet_module.sheets_of(made)
    floor = Floor(made.plan)
    assert_none([*proof.uncovered(floor, sheets), *proof.unplanned(floor, sheets), *proof.hidden_once_laid(floor, sheets)])
    plain = kit.made("--roll", "610mm", "--template", "target-line")
    for entry, other in zip(made.sheets["sheets"], plain.sheets["sheets"], strict=True):
        # 30 mm of a page are blank ends.
        assert (entry["page_mm"][1] - 30) * 203 / 200 == pytest.approx(other["page_mm"][1] - 30, abs=1e-6)
        assert len(entry["registration"]) == len(other["registration"])
