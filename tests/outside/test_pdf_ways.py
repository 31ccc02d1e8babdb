"""How a reader finds its way through the PDFs: bookmarks, page labels, links, language, and the order of the text."""

import re
import subprocess

import pymupdf
import pytest

import kit

KITS = {
    "demo": (),
    "inch": ("--paper", "letter", "--units", "inch"),
    "large": ("--paper", "A3"),
    "mat": ("--vehicle", "city-car", "--vehicle", "estate", "--template", "target-line"),
    "keys": ("--mode", "keys"),
}


@pytest.fixture(scope="module", params=KITS)
def made(request):
    return kit.made(*KITS[request.param])


def opened(made, name="stencils.pdf"):
    return pymupdf.open(made.path(name))


def titles(document):
    return [title for _, title, _ in document.get_toc()]


@pytest.mark.parametrize("name", [*kit.PDFS, "cut.pdf"])
def test_every_page_has_a_bookmark_of_its_own(made, name):
    with opened(made, name) as document:
        toc = document.get_toc()
        assert [page for _, _, page in toc] == list(range(1, document.page_count + 1))
        assert len(set(titles(document))) == document.page_count, titles(document)
        assert not any(re.fullmatch(r"\d*|sheet 0|overview", title) for title in titles(document)), titles(document)


def test_bookmarks_of_sheets_name_their_number_and_their_marks(made):
    by_page = {}
    for sheet in made.sheets["sheets"]:
        by_page.setdefault(sheet["page"], []).append(sheet)
    with opened(made) as document:
        for (_, title, page) in document.get_toc():
            here = by_page.get(page)
            if here is None:
                assert not title.startswith(("Sheet", "Keys")), title
                continue
            if made.sheets["mode"] == "keys":
                assert title.startswith(f"Keys {page - min(by_page) + 1} ("), title
                expected = {sheet["label"] for sheet in here}
            else:
                assert re.match(rf"Sheet {here[0]['label']}(?!\d)", title), title
                text = document[page - 1].get_text()
                expected = {mark for mark in made.marks if re.search(rf"^{re.escape(mark)}$", text, re.M)}
            named = set(re.findall(r"[^\s,()]+", title.partition("(")[2]))
            assert named - {"…"} <= set(made.marks), title
            assert expected == named or "…" in named, (title, expected)


def test_the_page_box_shows_the_number_of_the_sheet(made):
    first = min(sheet["page"] for sheet in made.sheets["sheets"])
    with opened(made) as document:
        labels = [page.get_label() for page in document]
    assert labels[:first - 1] == [f"0-{number}" for number in range(1, first)]
    assert labels[first - 1:] == [str(number) for number in range(1, len(labels) - first + 2)]
    if made.sheets["mode"] != "keys":
        assert labels[first - 1:] == [sheet["label"] for sheet in made.sheets["sheets"]]


def test_the_map_leads_to_every_sheet_and_every_sheet_back_to_its_map(made):
    first = min(sheet["page"] for sheet in made.sheets["sheets"])
    with opened(made) as document:
        there = {}
        for number in range(first - 1):
            page = document[number]
            words = page.get_text("words")
            for link in page.get_links():
                assert link["kind"] == pymupdf.LINK_GOTO
                there.setdefault(link["page"] + 1, []).append((number + 1, link["from"], words))
        assert set(there) == {sheet["page"] for sheet in made.sheets["sheets"]}
        assert sum(map(len, there.values())) == made.sheets["count"] or made.sheets["mode"] == "keys"
        for sheet in made.sheets["sheets"]:
            back = [link["page"] + 1 for link in document[sheet["page"] - 1].get_links()]
            assert back and set(back) <= {number for number, _, _ in there[sheet["page"]]}, sheet["label"]
            if made.sheets["mode"] != "keys":
                # What can be pressed lies on the sheet's number.
                [(_, area, words)] = there[sheet["page"]]
                inside = [word[4] for word in words if area.contains(pymupdf.Rect(word[:4]).tl + (1, 2))]
                assert sheet["label"] in inside, (sheet["label"], inside)


def test_links_have_no_border(made):
    with opened(made) as document:
        for page in document:
            for link in page.get_links():
                assert document.xref_get_key(link["xref"], "Border") == ("array", "[0 0 0]")


def test_the_document_says_its_language(made):
    expected = "en-US" if made is kit.made(*KITS["inch"]) else "en-GB"
    for name in [*kit.PDFS, "cut.pdf"]:
        with opened(made, name) as document:
            assert document.xref_get_key(document.pdf_catalog(), "Lang") == ("string", expected), name


def test_exercises_and_printer_test_find_their_way_too(tmp_path):
    kit.asked("practice", "--count", "2", "--kinds", "set-out,desk", "-o", tmp_path)
    kit.asked("printer", "test", "-o", tmp_path)
    kit.asked("measure", "-o", tmp_path)
    for name in ("exercises.pdf", "answers.pdf", "printer-test.pdf", "measuring-sheet.pdf"):
        with pymupdf.open(tmp_path / name) as document:
            assert len(set(titles(document))) == document.page_count, titles(document)
            assert document.xref_get_key(document.pdf_catalog(), "Lang") == ("string", "en-GB")
    with pymupdf.open(tmp_path / "exercises.pdf") as document:
        # Two models have sheets of the same numbers: each map leads to the sheets that follow it.
        maps = [page.number for page in document if "How the sheets go together" in page.get_text()]
        assert len(maps) == 2
        for here, end in zip(maps, [*maps[1:], document.page_count]):
            led = [link["page"] for link in document[here].get_links()]
            assert led and led == list(range(here + 1, here + 1 + len(led))) and led[-1] < end
            assert {link["page"] for number in led for link in document[number].get_links()} == {here}


def drawn(path, page):
    """The text in the order in which it is drawn, as poppler gives it line by line."""
    command = ["pdftotext", "-raw", "-enc", "UTF-8", "-f", str(page), "-l", str(page), str(path), "-"]
    done = subprocess.run(command, capture_output=True, timeout=120, check=True)
    return done.stdout.decode("utf-8").replace("\u00a0", " ")


def in_order(text, wanted):
    """Whether these stand in a text one after the other, each as a word of its own."""
    at = 0
    for words in wanted:
        found = re.compile(rf"(?<!\S){re.escape(words)}(?!\S)").search(text, at)
        assert found, f"{words!r} does not follow in {text[at:at + 300]!r}"
        at = found.end()


@pytest.mark.parametrize("flags", [(), ("--paper", "letter", "--units", "inch")])
def test_the_overview_reads_title_then_marks_then_checks_then_cautions(flags):
    made = kit.made(*flags)
    text = drawn(made.path("overview.pdf"), 1)
    plan = made.plan
    rows = text[text.index("\nMarks"):re.search(r"\nCheck list\s+\d+ lays", text).start()].splitlines()
    in_order(text, ["perimeter lines with", "Marks", "Check list", "Caution"])
    # A mark and its mirror image share a row; each row has all its cells before the next one begins.
    marks = {mark["id"]: mark for mark in plan["marks"]}
    first = [row for row in rows if row.split() and row.split()[0] in marks]
    named = [word for row in first for word in row.split()[:2] if word in marks]
    assert set(named) == set(marks)
    # The way along stands in an arrow, row by row in the order of the marks.
    # A heading may be a base mark's name, alone or with the sign of the limits.
    leaders = [row.split()[0] for row in first if len(row.split()) > 1 and not row.endswith("±")]
    stations = [round(marks[name]["x_mm"]) for name in leaders]
    arrows = re.findall(r"[↑↓](?= \d)", "\n".join(rows))
    assert arrows == ["↑" if x > 0 else "↓" for x in stations if x]


def test_the_record_reads_title_then_verdict_then_marks_then_readings_then_signatures(tmp_path):
    readings = kit.ROOT / "tests" / "outside" / "inputs" / "demonstration" / "filled-readings.csv"
    assert kit.run("check", readings, "-o", tmp_path).returncode == 1
    text = drawn(tmp_path / "record.pdf", 1)
    in_order(text, ["layout record", "Outside:", "Marks", "Taped distances"])
    rows = text[text.index("\nMarks"):text.index("\nTaped distances")].splitlines()
    marks = [mark["id"] for mark in kit.plan()["marks"]]
    assert [row.split()[0] for row in rows if row.split() and row.split()[0] in marks] == marks
    assert all(row.endswith(("inside", "OUTSIDE")) for row in rows if row.split() and row.split()[0] in marks)
    assert text.index("Taped distances") < text.rindex("signature"), text[-800:]
