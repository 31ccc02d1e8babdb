"""What can be read on the sheets, as poppler extracts it."""

import functools
import math
import re
import subprocess

import pytest

import proof
import sheet as sheet_module
import tape
import vectors

@functools.cache
def text_of(path, page=None):
    pages = [] if page is None else ["-f", str(page), "-l", str(page)]
    done = subprocess.run(
        ["pdftotext", "-layout", "-enc", "UTF-8", *pages, str(path), "-"], capture_output=True, timeout=120, check=True
    )
    return done.stdout.decode("utf-8").replace("\u00a0", " ")


def stands_in(text, candidates):
    """Whether one of the lengths is in a text, not as a part of a longer number or fraction."""
    patterns = (re.escape(candidate).replace(r"\ ", r"\s+") for candidate in candidates)
    return any(re.search(rf"(?<![\d/.{tape.MINUS}]){pattern}(?![\d/.])", text) for pattern in patterns)


def distance(kit, one, other):
    return math.dist(kit.marks[one], kit.marks[other])


def tape_base(kit):
    """The foremost and the rearmost mark on the centreline."""
    centre = [name for name, (_, y) in kit.marks.items() if abs(y) < 1e-6]
    return max(centre, key=lambda name: kit.marks[name][0]), min(centre, key=lambda name: kit.marks[name][0])


def row_of(lines, name, columns):
    """The line that has a name and, after it, every column's length."""
    for line in lines:
        found = re.search(rf"(?<!\S){re.escape(name)}(?!\S)(.*)", line)
        if found and all(stands_in(found[1], candidates) for candidates in columns):
            return line
    return None


def lines_of(path):
    """The upright lines of a page, from the top: all texts on one baseline, from left to right."""
    lines = {}
    for text in vectors.read(path)[0].texts:
        lines.setdefault(round(text.at[1], 1), []).append((text.at[0], text.content))
    return ["  ".join(words for _, words in sorted(lines[y])) for y in sorted(lines, reverse=True)]


def assert_marks(kit, rounded, lines):
    """Every mark's row is on the overview, rounded as told: the way along in an arrow, a mark and its mirror image in one row, or
    the side in a word; the distances from the base marks where there is room for them."""
    front, rear = tape_base(kit)
    with_tapes = any(re.search(rf"mark\b.*{front}\s+{rear}\s+±", line) for line in lines)
    for name, (x, y) in kit.marks.items():
        columns = [rounded(abs(x)), rounded(abs(y))]
        if with_tapes:
            columns += [rounded(distance(kit, front, name)), rounded(distance(kit, rear, name))]
        row = row_of(lines, name, columns) or row_of(lines, mirror_of(kit, name) or name, columns)
        assert row, f"no row for mark {name} with {columns}"
        if abs(x) >= 1:
            assert ("↑" if x > 0 else "↓") in row, (name, row)
        alone = abs(y) >= 1 and not (mirror_of(kit, name) and stands_beside(row, name, mirror_of(kit, name)))
        assert not alone or (" left" if y > 0 else " right") in row, (name, row)


def mirror_of(kit, name):
    """The mark that mirrors one about the centreline."""
    x, y = kit.marks[name]
    others = (other for other, place in kit.marks.items() if math.dist(place, (x, -y)) < 0.1 and other != name)
    return next(others, None)


def stands_beside(row, one, other):
    return re.search(rf"(?<!\S)({one} {other}|{other} {one})(?!\S)", row) is not None


def assert_lays(kit, rounded, lines):
    """Every lay begins a row with its number and how it is laid; below it stand its readings, in the order of the plan, rounded as
    told. Returns the rows by their reading."""
    checks = {check["id"]: check for check in kit.plan["checks"]}
    rows, rest = {}, iter(lines)
    for lay in kit.plan["lays"]:
        ends = [lay["from"], lay["to"]] if lay["kind"] == "string" else [lay["from"]]
        # How it is laid may go on in the line below.
        begin = rf"{lay['lay']}\s+{lay['kind']}(?![^\s]).*?\s"
        assert "–".join(ends) in " ".join(lines), ends
        for number, id in enumerate(lay["readings"]):
            check = checks[id]
            mark = check["from"] if lay["kind"] == "string" else check["to"]
            should = rounded(check["distance_mm"]) if check["distance_mm"] else {"on it"}
            pattern = re.compile(rf"(?<!\S){begin if number == 0 else ''}{mark}(?!\S)(.*)")
            row = next((found[1] for found in map(pattern.search, rest) if found and stands_in(found[1], should)), None)
            assert row is not None, f"no row for {mark} of lay {lay['lay']}, {lay['kind']} {ends}, with {should}"
            rows[id] = row
    return rows


def test_the_overview_has_every_mark_and_lay_in_whole_millimetres(demo):
    lines = lines_of(demo.path("overview.pdf"))
    assert_marks(demo, tape.mm_texts, lines)
    assert_lays(demo, tape.mm_texts, lines)


def test_the_overview_has_every_mark_and_lay_on_letter_paper_too(letter):
    lines = lines_of(letter.path("overview.pdf"))
    assert_marks(letter, tape.mm_texts, lines)
    assert_lays(letter, tape.mm_texts, lines)


def test_the_overview_shows_inches_to_the_sixteenth_when_asked(inch):
    lines = lines_of(inch.path("overview.pdf"))
    assert_marks(inch, tape.inch_texts, lines)
    assert_lays(inch, tape.inch_texts, lines)


def assert_limits(kit, lengths, rounded):
    """Every row of the check list ends with its limit, for what was measured is still blank."""
    rows = assert_lays(kit, lengths, lines_of(kit.path("overview.pdf")))
    for check in kit.plan["checks"]:
        row = rows[check["id"]].rstrip()
        assert any(row.endswith(f" {limit}") for limit in rounded(check["limit_mm"])), (check["id"], row, check["limit_mm"])


def test_the_overview_names_every_limit(demo):
    assert_limits(demo, tape.mm_texts, lambda limit: {f"{limit:g}"})


def test_the_overview_names_every_limit_in_inches_where_the_job_is(inch):
    assert_limits(inch, tape.inch_texts, tape.inch_texts)


def test_negative_numbers_have_a_true_minus_sign(demo):
    text = text_of(demo.path("overview.pdf"))
    assert not re.search(r"(?<![\w\d.–-])-\d", text), "a hyphen stands for a minus"


def test_every_sheet_says_what_it_is_and_how_to_print_it(any_kit):
    path, stated = any_kit.path("stencils.pdf"), any_kit.sheets
    pages = text_of(path).split("\f")[:-1]
    for sheet in stated["sheets"]:
        text = re.sub(r"\s+", " ", pages[sheet["page"] - 1])
        words = text.split()
        assert sheet["label"] in words, f"{sheet['label']} is not named on its page"
        said = re.search(r"page (\d+) of (\d+)", text, re.IGNORECASE)
        assert said, f"{sheet['label']} does not count its page"
        assert (int(said[1]), int(said[2])) == (sheet["page"], len(pages))
        assert re.search(r"print at 100 %", text, re.IGNORECASE), f"{sheet['label']} does not say how to print it"


def test_every_sheet_names_the_sheets_that_join_it(any_kit):
    sheets, _ = sheet_module.sheets_of(any_kit)
    pages = text_of(any_kit.path("stencils.pdf")).split("\f")
    missing = [
        f"{one.label} does not name {other.label}"
        for a, b, _ in proof.joints(sheets)
        for one, other in ((a, b), (b, a))
        # A neighbour is named with an arrow, or in "lay A1's edge here".
        if not re.search(rf"(?<![\w]){re.escape(other.label)}(?!\d)", pages[one.number - 1])
    ]
    assert not missing, missing


@pytest.mark.parametrize(
    ("mm", "text"),
    # 1 in = 25.4 mm: 1000 mm = 39.3701 in, nearest 1/16 is 39 6/16; 13/16 in = 20.6375 mm.
    [(1000, "39 3/8"), (20.6375, "13/16"), (-14.2875, "\u22129/16"), (304.8, "12"), (0.2, "0"), (-0.2, "0")],
)
def test_the_rounding_used_here_agrees_with_lengths_worked_out_by_hand(mm, text):
    assert tape.inch_texts(mm) == {text}


def test_a_tie_may_be_rounded_either_way_and_nothing_else():
    assert tape.mm_texts(777.5) == {"777", "778"}
    assert tape.mm_texts(-849.6) == {"\u2212850"}
