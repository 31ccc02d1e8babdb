"""`checks.svg`: the full check plan beside the quick one, every lay with its number and everything within the page."""

import re
import xml.etree.ElementTree as ElementTree
from collections import Counter

import pytest

import kit

SVG = "{http://www.w3.org/2000/svg}"

JOBS = {
    "demo": (),
    "letter": ("--paper", "letter", "--units", "inch"),
    "short": ("--vehicle", "city-car", "--template", "target-line"),
    "quick": ("--checks", "quick"),
    "arcs": ("--template", "rear-corner-arcs"),
}


def texts(made):
    """Each text of the picture with its place from the page's left edge as a part of the width."""
    root = ElementTree.fromstring(made.read("checks.svg"))
    _, _, width, height = map(float, root.get("viewBox").split())
    found = []
    for text in root.iter(f"{SVG}text"):
        numbers = re.findall(r"-?[\d.]+", text.get("transform") or f"{text.get('x')} {text.get('y')}")
        x, y = (float(number) for number in numbers[-2:])
        assert 0 < x < width and 0 < y < height, ("".join(text.itertext()), x, y)
        found.append((x / width, "".join(text.itertext())))
    return found


@pytest.mark.parametrize("job", JOBS)
def test_each_half_has_the_numbers_and_the_effort_of_its_plan_whichever_the_job_takes(job):
    found = texts(kit.made(*JOBS[job]))
    flags = [flag for flag in JOBS[job] if flag not in ("--checks", "quick")]
    for side, choice in enumerate(("full", "quick")):
        plan = kit.plan(*flags, "--checks", choice)
        here = Counter(content for x, content in found if (x >= 0.5) == (side == 1))
        for lay in plan["lays"]:
            assert here[str(lay["lay"])] == 1, (choice, lay["lay"])
        assert not here[str(len(plan["lays"]) + 1)]
        assert all(here[mark["id"]] == 1 for mark in plan["marks"])
        effort = f"{plan['proof']['lays']} lays, {plan['proof']['readings']} readings"
        assert any(effort in content for content in here), (effort, here)


def test_a_mat_has_both_plans_of_each_vehicle():
    flags = ("--vehicle", "city-car", "--vehicle", "estate", "--template", "target-line")
    contents = [content for _, content in texts(kit.made(*flags))]
    for kind in ("Full", "Quick"):
        assert sum(content.startswith(f"{kind} check: ") for content in contents) == 2
