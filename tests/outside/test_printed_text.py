"""Names in other letters, and letters with their marks behind them, read back from the pages by two readers that share nothing."""

import subprocess
import unicodedata
import xml.etree.ElementTree as ElementTree

import pymupdf
import pytest

import kit

VEHICLE = (kit.ROOT / "vehicle-specs" / "city-car.toml").read_text(encoding="utf-8")

# As they are typed: those with marks behind their letters as some keyboards and file systems write them (Unicode's NFD).
NAMES = {
    "german": unicodedata.normalize("NFD", "Büro Größe"),
    "hungarian": unicodedata.normalize("NFD", "Kovács Őze"),
    "vietnamese": unicodedata.normalize("NFD", "Việt Hồng"),
    "polish": "Żółć Łódź",
    "greek": unicodedata.normalize("NFD", "Εργαστήριο Ωμέγα"),
    "cyrillic": unicodedata.normalize("NFD", "Йод № Ёлка"),
    "armenian": "Արհեստանոց",
    "georgian": "სახელოსნო",
    "signs": "½⌀→€±☐",
}

RECORD = """
[record]
order = "{name}"
vehicle_id = "{name}"
workshop = "{name}"
technician = "{name}"
"""


@pytest.fixture(scope="module", params=NAMES, ids=str)
def made(request, tmp_path_factory):
    """A folder with an overview and exercises, in which everything is called the same, and that name composed."""
    folder, name = tmp_path_factory.mktemp("names"), NAMES[request.param]
    (folder / "v.toml").write_text(VEHICLE.replace("city car (demo)", name), encoding="utf-8")
    job = 'format = "job/1"\nvehicle = "v.toml"\ntemplate = "target-line"\n' + RECORD.format(name=name)
    (folder / "job.toml").write_text(job, encoding="utf-8")
    kit.asked("kit", "job.toml", "--mode", "keys", "-o", "out", folder=folder)
    kit.asked("practice", "job.toml", "--kinds", "table", "-o", "out/practice", folder=folder)
    return folder / "out", unicodedata.normalize("NFC", name)


def by_poppler(path):
    done = subprocess.run(["pdftotext", "-enc", "UTF-8", str(path), "-"], capture_output=True, timeout=120, check=True)
    return done.stdout.decode("utf-8")


def by_mupdf(path):
    with pymupdf.open(path) as document:
        return "\n".join(page.get_text() for page in document)


@pytest.mark.parametrize("reader", [by_poppler, by_mupdf])
@pytest.mark.parametrize(("file", "least"), [("overview.pdf", 2), ("stencils.pdf", 1), ("practice/exercises.pdf", 1)])
def test_a_name_is_read_back_composed(made, file, least, reader):
    folder, name = made
    text = " ".join(reader(folder / file).split())
    assert text.count(name) >= least, (name, text[:400])
    assert "\ufffd" not in text


def test_a_name_stands_composed_in_the_svg(made):
    folder, name = made
    texts = ElementTree.parse(folder / "overview.svg").iter("{http://www.w3.org/2000/svg}text")
    assert any(name in "".join(text.itertext()) for text in texts)


@pytest.mark.parametrize("bad", ["\u05e9\u05dc\u05d5\u05dd", "\u0639\u0631\u0628\u0629", "\u8eca", "x\u0302", "\ufffe", "\ue000"])
def test_a_name_that_cannot_be_set_is_refused_and_nothing_is_written(tmp_path, bad):
    (tmp_path / "v.toml").write_text(VEHICLE.replace("city car (demo)", f"car {bad}"), encoding="utf-8")
    done = kit.run("kit", "--vehicle", "v.toml", "--template", "target-line", folder=tmp_path)
    first = next(sign for sign in bad if sign != "x")
    assert done.returncode == 3 and f"v.toml:2:{13 + bad.index(first)}: `name` has U+{ord(first):04X}" in done.stderr, done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["v.toml"]
