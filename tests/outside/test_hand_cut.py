"""Sheets that are cut by hand, joined, trimmed and cut again by an outside reader: openings close, slots have their strips'
edges, bridges stand beside seams and never on one, and what remains hangs together."""

import json
import re
from dataclasses import replace

import pytest

import hand_cut
import kit
import random_layout

JOBS = [
    ("--paper", "A4"),
    ("--paper", "Letter", "--units", "inch"),
    ("--paper", "A4", "--mode", "grid"),
    ("--paper", "Letter", "--mode", "full", "--yes"),
    ("--roll", "610mm"),
    ("--vehicle", "compact-hatchback"),
    ("--vehicle", "city-car", "--template", "side-and-end-panels", "--paper", "Letter"),
    ("--vehicle", "delivery-van", "--template", "rear-corner-arcs"),
    ("--vehicle", "estate", "--template", "target-line", "--bridge", "4mm", "--bridge-every", "90mm"),
    ("--vehicle", "city-car", "--vehicle", "delivery-van"),
]
SEEDS = range(12)


def bridge_of(arguments):
    return float(arguments[arguments.index("--bridge") + 1].removesuffix("mm")) if "--bridge" in arguments else hand_cut.BRIDGE_MM


@pytest.fixture(scope="module", params=JOBS, ids=lambda job: "-".join(job))
def cut(request):
    return hand_cut.HandCut(kit.made("--cut-by", "hand", *request.param), bridge_of(request.param))


@pytest.fixture(scope="module", params=SEEDS, ids=lambda seed: f"seed-{seed}")
def drawn(request, tmp_path_factory):
    """A layout made from a seed, on its own paper, free or on a grid; what the program says of it."""
    folder = tmp_path_factory.mktemp(f"hand-{request.param}")
    job = random_layout.written(request.param, folder)
    (folder / "plan.json").write_text(kit.asked("plan", job, "--json"), encoding="utf-8")
    mode = ("lines", "grid")[request.param % 2]
    done = kit.run("stencils", job, "--cut-by", "hand", "--partial", "--mode", mode, "--yes", "--replace", "-o", folder)
    assert done.returncode == 0, done.stderr
    return hand_cut.HandCut(kit.Kit(folder)), done.stderr


def none(faults):
    assert not faults, f"{len(faults)} faults:\n" + "\n".join(map(str, faults[:20]))


def test_knife_lines_close_into_openings(cut):
    assert cut.openings
    none(hand_cut.open_lines(cut))


def test_no_two_knife_lines_of_a_sheet_lie_on_one_another(cut):
    none(hand_cut.twice_drawn(cut))


def test_slots_have_the_edges_of_their_tape_strips(cut):
    none(hand_cut.off_the_strips(cut))
    # On a mat a strip that crosses another vehicle's has a pad more.
    least = [0.5 if "vehicles" in line else 0.75 for line in cut.floor.plan["lines"]]
    shares = hand_cut.slotted(cut)
    assert all(share > limit for share, limit in zip(shares, least)), shares


def test_every_mark_has_its_hole_and_four_windows(cut):
    none(hand_cut.marks_without_openings(cut))


def test_no_bridge_stands_on_a_seam_and_each_is_whole_on_a_sheet(cut):
    none(hand_cut.crossed_bridges(cut))
    none(hand_cut.bridges_without_a_sheet(cut))


def test_beside_every_seam_across_a_slot_both_sheets_hold_a_bridge(cut):
    if any("vehicles" in line for line in cut.floor.plan["lines"]):
        pytest.skip("a strip of a mat is several lines on one straight, and its bridges stand between them")
    none(hand_cut.unheld_seams(cut))


def test_what_remains_of_joined_sheets_is_one_piece_with_no_web_below_a_bridge(cut):
    assert set(hand_cut.parts(cut)) == {1}
    none(hand_cut.thin_webs(cut))


def test_layouts_made_from_seeds_hold_as_well(drawn):
    cut, said = drawn
    none(hand_cut.open_lines(cut))
    none(hand_cut.twice_drawn(cut))
    none(hand_cut.off_the_strips(cut))
    none(hand_cut.crossed_bridges(cut))
    none(hand_cut.bridges_without_a_sheet(cut))
    none(hand_cut.unheld_seams(cut))
    none(hand_cut.thin_webs(cut))
    assert set(hand_cut.parts(cut)) == {1}
    excused = set(re.findall(r"mark (\S+) has no ", said))
    none(hand_cut.marks_without_openings(cut, set(cut.floor.marks) - excused))


def test_the_proof_fails_where_seams_run_through_bridges():
    cut = hand_cut.HandCut(kit.made("--cut-by", "hand", *JOBS[0]))
    # Trimmed 4.5 mm further in, each seam lies in the bridge that stood 1.5 to 7.5 mm beside it.
    cut.sheets = [replace(sheet, cut_depth=sheet.cut_depth + 4.5) for sheet in cut.sheets]
    assert len(hand_cut.crossed_bridges(cut)) > 40


def test_keys_have_their_own_hole_and_windows_and_no_slot():
    keys = kit.made("--cut-by", "hand", "--mode", "keys")
    cut = hand_cut.HandCut(keys)
    for sheet in cut.sheets:
        faces = [face for face in hand_cut.hatched_faces(sheet) if face.intersects(sheet.window)]
        assert len(faces) == 5, f"{sheet.label} has {len(faces)} openings"
        middle = cut.floor.points[sheet.label]
        assert all(face.distance(middle) < hand_cut.WINDOW_MM[1] for face in faces)
        assert all(sheet.window.buffer(-hand_cut.BRIDGE_MM + 0.01).covers(face) for face in faces)


def test_a_kit_cut_by_hand_has_no_files_for_a_machine_and_says_so_in_its_job():
    by_hand, by_machine = kit.made("--cut-by", "hand", *JOBS[0]), kit.made()
    names = {path.name for path in by_hand.folder.iterdir()}
    assert names == {name for name in kit.FILES if not name.startswith("cut")}
    assert 'cut_by = "hand"' in by_hand.read("job.toml")
    assert json.loads(by_hand.read("plan.json"))["marks"] == by_machine.plan["marks"]
    assert by_hand.plan["takes"]["minutes"]["cut"] > 0 == by_machine.plan["takes"]["minutes"]["cut"]
    layers = {stroke.layer for sheet in hand_cut.HandCut(by_hand).sheets for stroke in sheet.page.strokes}
    assert {"knife", "waste"} <= layers and not {"cut", "score"} & layers
