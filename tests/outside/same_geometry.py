"""Whether two builds of the program lay the same floor: for whoever changes the code and means to leave the geometry alone.

    python tests/outside/same_geometry.py BEFORE AFTER

Every built-in vehicle with every built-in template, on A4 and on Letter, in every mode, is made by both binaries. Marks, lines and
panels (plan.json), windows, cuts, registration and the way onto the page (sheets.json) and each number of floor.svg must be the
same within 1e-6 mm. What differs is listed, and the exit code is 1.
"""

import argparse
import itertools
import json
import math
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ElementTree
from pathlib import Path

# Far below what any tool lays, above what the last digits of the files round to.
SAME_MM = 1e-6

PAPERS = ["A4", "Letter"]
MODES = ["lines", "grid", "keys", "full"]

# What is listed of one kit, at most.
SHOWN = 5

NUMBER = re.compile(r"-?\d+\.?\d*(?:[eE]-?\d+)?|-?\.\d+")


def differences(one, other, at=""):
    """Where two trees of lists, objects, numbers and words differ, in words."""
    if isinstance(one, dict) and isinstance(other, dict):
        if one.keys() != other.keys():
            return [f"{at}: only one side has {sorted(one.keys() ^ other.keys())}"]
        return [fault for key in one for fault in differences(one[key], other[key], f"{at}/{key}")]
    if isinstance(one, list) and isinstance(other, list):
        if len(one) != len(other):
            return [f"{at}: {len(one)} are now {len(other)}"]
        return [fault for index, pair in enumerate(zip(one, other)) for fault in differences(*pair, f"{at}/{index}")]
    if isinstance(one, (int, float)) and isinstance(other, (int, float)):
        same = math.isclose(one, other, rel_tol=0, abs_tol=SAME_MM)
    else:
        same = one == other
    return [] if same else [f"{at}: {one!r} is now {other!r}"]


def layout(folder):
    """The floor of a kit's plan.json."""
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    return {key: plan[key] for key in ("tape_base", "marks", "lines", "panels", "floor")}


def sheets(folder):
    """Where each sheet lies. Coefficients of a map are no lengths: it is told by where it takes the window's corners."""
    stated = json.loads((folder / "sheets.json").read_text(encoding="utf-8"))
    for sheet in stated["sheets"]:
        a, b, c, d, e, f = sheet["floor_to_page"]
        sheet["floor_to_page"] = [[a * x + c * y + e, b * x + d * y + f] for x, y in sheet["window"]]
    return stated


def drawn(folder):
    """Each element of floor.svg with the words and numbers of its attributes; without the font, which is no geometry."""
    elements = []
    for element in ElementTree.parse(folder / "floor.svg").iter():
        if element.tag.endswith("}style"):
            continue
        attributes = {name: split(value) for name, value in element.attrib.items()}
        elements.append({"tag": element.tag, "text": (element.text or "").strip(), "attributes": attributes})
    return elements


def split(value):
    """What an attribute says besides its numbers, and its numbers."""
    words = re.sub(r"[\s,]+", "", NUMBER.sub("#", value))
    return {"words": words, "numbers": [float(number) for number in NUMBER.findall(value)]}


def written(binary, command, arguments, folder):
    """The folder that a binary writes."""
    subprocess.run(
        [binary, command, *arguments, "--yes", "-o", folder], check=True, stdin=subprocess.DEVNULL, capture_output=True, text=True,
    )
    return folder


def compared(before, after, arguments, mode):
    """What differs in one kit; the plan and the drawing are the same in every mode, and are asked for in the first alone."""
    readers = [sheets, layout, drawn] if mode == MODES[0] else [sheets]
    command = "kit" if mode == MODES[0] else "stencils"
    with tempfile.TemporaryDirectory() as folder:
        one, other = (
            written(binary, command, [*arguments, "--mode", mode], Path(folder) / side)
            for side, binary in (("before", before), ("after", after))
        )
        return [fault for read in readers for fault in differences(read(one), read(other), read.__name__)]


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("before", type=Path)
    parser.add_argument("after", type=Path)
    parser.add_argument("--mode", choices=MODES, action="append", help="only this mode; may be given several times")
    asked = parser.parse_args()
    before, after = asked.before.resolve(), asked.after.resolve()
    listed = json.loads(subprocess.run([before, "library", "--json"], check=True, capture_output=True, text=True).stdout)
    names = [[entry["name"] for entry in listed[kind]] for kind in ("vehicles", "templates")]
    differing = 0
    kits = list(itertools.product(*names, PAPERS, asked.mode or MODES))
    for vehicle, template, paper, mode in kits:
        arguments = ["--vehicle", vehicle, "--template", template, "--paper", paper]
        faults = compared(before, after, arguments, mode)
        differing += bool(faults)
        for fault in faults[:SHOWN]:
            print(f"{vehicle}, {template}, {paper}, {mode}: {fault}")
        if len(faults) > SHOWN:
            print(f"{vehicle}, {template}, {paper}, {mode}: and {len(faults) - SHOWN} more")
    print(f"{len(kits) - differing} of {len(kits)} kits are the same within {SAME_MM:g} mm")
    return 1 if differing else 0


if __name__ == "__main__":
    sys.exit(main())
