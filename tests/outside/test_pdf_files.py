"""The PDF files themselves: what other programs say of them, and how they ask to be printed."""

import itertools
import re
import subprocess

import numpy as np
import pymupdf
import pytest

import kit
import paper

# Boxes are compared in points; half of a hundredth is 0.002 mm.
BOX_TOLERANCE_PT = 0.005

# A4 in points, worked out once by hand: 210 × 72 / 25.4 and 297 × 72 / 25.4 (ISO 216, ISO 32000).
A4_PT = (595.2756, 841.8898)


def program(*arguments):
    command = list(map(str, arguments))
    return subprocess.run(command, capture_output=True, text=True, errors="replace", timeout=300, check=False)


KITS = {
    "demo": lambda: kit.made(),
    "letter": lambda: kit.made("--paper", "letter"),
    # The shortest of the built-in vehicles, and the longest one with its end lines far out.
    "shortest": lambda: kit.made("--vehicle", "city-car"),
    "longest": lambda: kit.made("--vehicle", "delivery-van", "--set", "front_gap=2 m", "--set", "rear_gap=2 m"),
}


@pytest.fixture(scope="module", params=itertools.product(KITS, kit.PDFS), ids="-".join)
def pdf(request):
    which, name = request.param
    made = KITS[which]()
    return made, made.path(name)


def test_qpdf_finds_nothing_wrong(pdf):
    done = program("qpdf", "--check", pdf[1])
    assert done.returncode == 0 and "WARNING" not in done.stdout + done.stderr, done.stdout + done.stderr


def test_mupdf_draws_every_page_without_a_warning(pdf):
    done = program("mutool", "draw", "-q", "-r", "20", "-F", "pgm", "-o", "/dev/null", pdf[1])
    # What a build of MuPDF says of itself is no warning about the file.
    said = [line for line in done.stderr.splitlines() if "ICC support" not in line]
    assert done.returncode == 0 and not said, said


def test_the_header_says_1_7(pdf):
    assert pdf[1].read_bytes().startswith(b"%PDF-1.7")


def test_all_pages_are_of_one_size_from_the_origin_and_unturned(pdf):
    made, path = pdf
    with pymupdf.open(path) as document:
        sizes = set()
        for page in document:
            boxes = [document.xref_get_key(page.xref, name) for name in ("MediaBox", "CropBox", "TrimBox")]
            assert [kind for kind, _ in boxes] == ["array"] * 3
            numbers = [[float(n) for n in re.findall(r"[-\d.]+", text)] for _, text in boxes]
            assert numbers[0] == numbers[1] == numbers[2] and numbers[0][:2] == [0, 0]
            assert page.rotation == 0 and document.xref_get_key(page.xref, "UserUnit")[0] == "null"
            sizes.add(tuple(numbers[0][2:]))
        assert len(sizes) == 1
        if path.name == "stencils.pdf":
            expected = [side * paper.POINTS_PER_MM for side in paper.size_mm(made.sheets["paper"]["name"])]
            assert sizes.pop() == pytest.approx(expected, abs=BOX_TOLERANCE_PT)


def test_a4_in_points_is_what_the_standards_give():
    assert [side * paper.POINTS_PER_MM for side in paper.size_mm("a4")] == pytest.approx(A4_PT, abs=1e-4)


def test_the_overview_is_on_the_kits_paper_either_way_up(demo, letter):
    for made in (demo, letter):
        with pymupdf.open(made.path("overview.pdf")) as document:
            size = sorted((document[0].mediabox.width, document[0].mediabox.height))
        expected = [side * paper.POINTS_PER_MM for side in paper.size_mm(made.sheets["paper"]["name"])]
        assert size == pytest.approx(expected, abs=BOX_TOLERANCE_PT)


def test_it_asks_to_be_printed_unscaled_from_the_right_tray_on_one_side(pdf):
    with pymupdf.open(pdf[1]) as document:
        def preference(name):
            return document.xref_get_key(document.pdf_catalog(), f"ViewerPreferences/{name}")
        assert preference("PrintScaling") == ("name", "/None")
        assert re.sub(r"\s", "", preference("Enforce")[1]) == "[/PrintScaling]"
        assert preference("PickTrayByPDFSize") == ("bool", "true")
        assert preference("Duplex") == ("name", "/Simplex")


def test_it_makes_no_claim_to_be_pdf_x(pdf):
    done = program("qpdf", "--qdf", "--object-streams=disable", pdf[1], "-")
    assert done.returncode == 0 and "%PDF-1.7" in done.stdout and "GTS_PDFX" not in done.stdout


def test_fonts_are_embedded_subset_and_readable(pdf):
    path = pdf[1]
    lines = program("pdffonts", path).stdout.splitlines()[2:]
    assert lines
    for line in lines:
        # name, type, encoding, emb, sub, uni, object and generation
        assert line.split()[-5:-2] == ["yes", "yes", "yes"], line


def test_stencils_have_named_layers_that_can_be_listed(demo):
    with pymupdf.open(demo.path("stencils.pdf")) as document:
        named = {group["name"] for group in document.get_ocgs().values()}
        assert {"lines", "marks", "labels", "registration"} <= named
        shown = {entry["text"] for entry in document.layer_ui_configs()}
        assert shown == named, "Order lists another set of layers than there is"
        properties = document.xref_get_key(document.pdf_catalog(), "OCProperties/D/BaseState")
        assert properties == ("name", "/ON")


def dark(page):
    """Number of pixels that are not white."""
    return int((np.frombuffer(page.get_pixmap(dpi=40, colorspace=pymupdf.csGRAY).samples, np.uint8) < 250).sum())


def test_a_layer_switched_off_is_not_drawn(demo):
    off, on = 2, 0  # actions of set_layer_ui_config
    with pymupdf.open(demo.path("stencils.pdf")) as document:
        switches = {entry["text"]: entry["number"] for entry in document.layer_ui_configs()}
        numbers = [sheet["page"] - 1 for sheet in demo.sheets["sheets"]][:3]

        def ink():
            return [dark(document.reload_page(document[number])) for number in numbers]

        before = ink()
        for name in ("lines", "labels", "registration"):
            document.set_layer_ui_config(switches[name], off)
            assert all(less < more for less, more in zip(ink(), before)), name
            document.set_layer_ui_config(switches[name], on)
        assert ink() == before
        for number in switches.values():
            document.set_layer_ui_config(number, off)
        assert ink() == [0] * len(numbers)


def test_two_documents_have_different_identifiers(demo, letter):
    identifiers = set()
    for made in (demo, letter):
        for name in kit.PDFS:
            with pymupdf.open(made.path(name)) as document:
                identifiers.add(document.xref_get_key(-1, "ID")[1])
    assert len(identifiers) == 2 * len(kit.PDFS)


def test_the_kit_is_exactly_the_promised_files(demo):
    assert kit.files_in(demo.folder) == kit.FILES


def test_the_same_input_gives_the_same_bytes(demo, tmp_path):
    kit.asked("kit", "-o", tmp_path / "again")
    for path in sorted(demo.folder.iterdir()):
        assert (tmp_path / "again" / path.name).read_bytes() == path.read_bytes(), f"{path.name} differs"
