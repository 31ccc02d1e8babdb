"""Single sheets printed again: each as it is among all others, and a kit beside them stays whole."""

import json
import pymupdf
import pytest

import kit

JOB = ("--vehicle", "city-car", "--template", "target-line")
WAYS = {"sheets": (), "letter": ("--paper", "letter", "--units", "inch"), "roll": ("--roll", "24in"), "keys": ("--mode", "keys")}
NUMBERS = {"sheets": "7,12-13", "letter": "13,2-3, 3", "roll": "2", "keys": "1"}


def listed(text):
    parts = [part.split("-") for part in text.split(",")]
    return sorted({number for part in parts for number in range(int(part[0]), int(part[-1]) + 1)})


def shown(page):
    return page.get_text(), page.get_pixmap(dpi=60).samples, page.get_label()


@pytest.mark.parametrize("way", WAYS)
def test_a_sheet_printed_again_is_the_same_page_with_the_same_numbers(way, tmp_path):
    flags = (*JOB, *WAYS[way])
    whole = kit.made(*flags)
    kit.asked("stencils", *flags, "--only", NUMBERS[way], "-o", tmp_path)
    assert {path.name for path in tmp_path.iterdir()} == {"stencils-again.pdf", ".baystencil.json"}
    first = min(sheet["page"] for sheet in whole.sheets["sheets"])
    with pymupdf.open(whole.path("stencils.pdf")) as everything, pymupdf.open(tmp_path / "stencils-again.pdf") as again:
        numbers = listed(NUMBERS[way])
        assert again.page_count == len(numbers)
        titles = [title for _, title, _ in everything.get_toc()]
        for page, (_, title, _), number in zip(again, again.get_toc(), numbers):
            before = everything[first - 2 + number]
            assert shown(page) == shown(before)
            assert page.get_label() == str(number) and title == titles[before.number]
            if way in ("sheets", "letter"):
                assert f"sheet {number} of {whole.sheets['count']}" in page.get_text()
            assert not page.get_links(), "the map is in another file"


def test_numbers_that_no_sheet_has_are_refused_with_those_that_there_are(tmp_path):
    for numbers, named in (("99", 99), ("3,12-14", 14)):
        done = kit.run("stencils", *JOB, "--only", numbers, "-o", "out", folder=tmp_path)
        assert done.returncode == 3 and f"there is no sheet {named}" in done.stderr, done.stderr
        assert "1 to 13" in done.stderr and "--only" in done.stderr
        assert not (tmp_path / "out").exists()
    for text in ("", "0", "7-", "12-7", "a", "1,,2", "-3"):
        done = kit.run("stencils", *JOB, f"--only={text}", "-o", "out", folder=tmp_path)
        assert done.returncode == 2 and "7,12-14" in done.stderr, (text, done.stderr)


def test_a_kit_stays_as_it_is_when_sheets_are_printed_again_beside_it_from_its_own_job(tmp_path):
    kit.asked("kit", *JOB, "--kerf", "0.2mm", "-o", "kit", folder=tmp_path)
    before = {path.name: path.read_bytes() for path in (tmp_path / "kit").iterdir()}
    done = kit.run("stencils", "kit", "--only", "7", "-o", "kit", folder=tmp_path)
    assert done.returncode == 0 and "kit's own job" in done.stderr, done.stderr
    after = {path.name: path.read_bytes() for path in (tmp_path / "kit").iterdir()}
    listed = [json.loads(files.pop(".baystencil.json"))["files"] for files in (before, after)]
    assert listed[1].pop("stencils-again.pdf") and listed[1] == listed[0]
    assert after.pop("stencils-again.pdf") and after == before
    # All sheets of the kit again, by its folder.
    kit.asked("stencils", "kit", "-o", "again", folder=tmp_path)
    again = {path.name: path.read_bytes() for path in (tmp_path / "again").iterdir()}
    assert {"stencils.pdf", "sheets.json"} <= set(again)
    assert all(before[name] == content for name, content in again.items() if name != ".baystencil.json")
    # The next kit says that the single sheets are none of its own.
    assert "stencils-again.pdf" in kit.run("kit", *JOB, "-o", "kit", folder=tmp_path).stderr
