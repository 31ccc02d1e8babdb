"""Keys, the small stencils for single marks: each is true, says where it belongs, and there are few pages of them."""

import functools
import itertools
import math
import re

import pytest
from shapely import LineString

import card as card_module
import kit
import paper
import proof
import tape
from floor import Floor
from standing import standing

# One of each: a layout of strips, of panels, of marks alone; the shortest and the longest vehicle.
LAYOUTS = [
    ("delivery-van", "perimeter-lines"), ("city-car", "side-and-end-panels"), ("city-car", "rear-corner-arcs"),
    ("delivery-van", "target-line"),
]
JOBS = [
    ("--vehicle", vehicle, "--template", template, "--paper", size, "--units", units)
    for (vehicle, template), (size, units) in itertools.product(LAYOUTS, [("A4", "mm"), ("Letter", "inch")])
]

# Two boxes of text that share less than this, mm², touch by rounding.
TOUCH_MM2 = 0.01

# The smallest lettering on any sheet, mm, less what rounding takes.
LEAST_CAPITALS_MM = 1.8 - 1e-3


@pytest.fixture(scope="module", params=JOBS, ids=lambda job: "-".join(job[1::2]))
def keys(request):
    return kit.made(*request.param, "--mode", "keys")


@functools.lru_cache(maxsize=2)
def opened(keys):
    return card_module.cards_of(keys)


def assert_none(faults):
    assert not faults, f"{len(faults)} faults:\n" + "\n".join(faults[:20])


def tape_base(keys):
    """The foremost and the rearmost mark on the centreline."""
    centre = [name for name, (_, y) in keys.marks.items() if abs(y) < 1e-6]
    return max(centre, key=lambda name: keys.marks[name][0]), min(centre, key=lambda name: keys.marks[name][0])


def test_every_mark_has_one_key_with_its_cross_its_hole_and_its_name_in_its_place(keys):
    cards, _, _ = opened(keys)
    assert sorted(card.label for card in cards) == sorted(keys.marks)
    assert_none(proof.misplaced_marks(Floor(keys.plan), cards))
    for card in cards:
        assert any(text.content == card.label for text in card.page.texts), f"{card.label} is not named on its card"
        assert card.on_floor(card.on_page(card.window).centroid).distance(
            Floor(keys.plan).points[card.label]
        ) < proof.TOLERANCE_MM, f"{card.label} is not in the middle of its window"


def test_a_key_shows_nothing_of_the_floor_that_the_plan_does_not_have(keys):
    cards, _, _ = opened(keys)
    assert_none(proof.unplanned(Floor(keys.plan), cards))


def test_a_key_that_shows_another_place_would_be_noticed(keys):
    cards, _, _ = opened(keys)
    floor = Floor(keys.plan)
    for index in (0, len(cards) - 1):
        changed = [*cards[:index], cards[index].moved(0.1, 0), *cards[index + 1 :]]
        assert proof.misplaced_marks(floor, changed), f"{cards[index].label} moved by 0.1 mm went unnoticed"


def test_arms_run_from_the_mark_to_the_cards_edges_both_ways(keys):
    cards, outlines, _ = opened(keys)
    for card, outline in zip(cards, outlines):
        x0, y0, x1, y1 = outline.bounds
        middle = card.on_page(card.window).centroid
        expected = {"left": middle.x - x0, "right": x1 - middle.x, "down": middle.y - y0, "up": y1 - middle.y}
        assert card_module.arms(card) == pytest.approx(expected, abs=proof.TOLERANCE_MM), card.label
        # Long enough to turn by, and the cross is on the card whole.
        assert min(expected.values()) > proof.MARK_ARM_MM + 10


def assert_place(words, x, y, inches):
    """Along the vehicle from 0 and across it from the centreline, in words; in an inch job in both units."""
    for unit, texts in [("mm", tape.mm_texts), *([("in", tape.inch_texts)] if inches else [])]:
        for value, (more, less), none in [
            (x, ("forward", "rearward"), {"at 0"}), (y, ("left", "right"), {"on centreline", "on centerline"}),
        ]:
            said = {f"{text} {unit} {more if value > 0 else less}" for text in texts(abs(value))}
            assert (said | (none if "0" in texts(abs(value)) else set())) & set(words), (said, words)


def test_a_key_says_where_its_mark_lies_and_how_far_it_is_from_marks_that_a_tape_reaches(keys):
    cards, _, _ = opened(keys)
    inches = any(text.content.endswith(" in") for text in cards[0].page.texts)
    body, wheels = standing(keys.plan)
    laid, free = [], 0
    for card in cards:
        words = [text.content for text in card.page.texts]
        x, y = keys.marks[card.label]
        assert_place(words, x, y, inches)
        lengths = []
        for words_from in (word for word in words if word.startswith("from ") and word.endswith(" mm")):
            other = words_from.removeprefix("from ").rsplit(" ", 2)[0]
            assert other in laid, f"{card.label}: {other} does not lie yet"
            line = LineString([keys.marks[other], (x, y)])
            assert not any(line.intersects(part.buffer(-1, join_style="mitre")) for part in (body, *wheels)), (card.label, other)
            lengths.append((f"from {other}", line.length))
            free += 1
        for before, length in lengths:
            said = {f"{before} {mm} mm" for mm in tape.mm_texts(length)}
            assert said & set(words), f"{card.label}: none of {said} in {words}"
            if inches:
                said = {f"{before} {text} in" for text in tape.inch_texts(length)}
                assert said & set(words), f"{card.label}: none of {said} in {words}"
        assert "FRONT" in words
        laid.append(card.label)
    # All but the first few have something to be checked by.
    assert free >= len(cards) - 2


def test_letter_kits_were_asked_for_inches_and_show_them(keys):
    cards, _, _ = opened(keys)
    shown = any(re.search(r"\d in\b", text.content) for text in cards[0].page.texts)
    assert shown == (keys.sheets["paper"]["name"] == "Letter")


def test_keys_are_laid_in_the_order_of_setting_out(keys):
    listed = keys.sheets["sheets"]
    assert [entry["laid"] for entry in listed] == list(range(1, len(listed) + 1))
    base = tape_base(keys)
    assert tuple(entry["label"] for entry in listed[:2]) == base
    off_centre = [abs(keys.marks[entry["label"]][1]) > 1e-6 for entry in listed]
    assert off_centre == sorted(off_centre), "a mark off the centreline comes before one on it"


def test_pages_are_counted_and_as_few_as_the_cards_allow(keys):
    stated = keys.sheets
    numbers = [entry["page"] for entry in stated["sheets"]]
    each = numbers.count(numbers[0])
    assert stated["mode"] == "keys" and all(not entry["registration"] for entry in stated["sheets"])
    assert sorted(set(numbers)) == list(range(numbers[0], numbers[0] + stated["count"]))
    assert stated["count"] == stated["lower_bound"] == math.ceil(len(numbers) / each)


def test_every_page_carries_the_square_the_bar_and_how_to_print_it(keys):
    _, _, pages = opened(keys)
    assert_none(proof.missing_scale(pages))
    for (name, page), number in zip(pages, sorted({entry["page"] for entry in keys.sheets["sheets"]})):
        words = [text.content for text in page.texts]
        assert "Print at 100 %" in words, name
        assert any(re.fullmatch(rf"page {number} of \d+", word) for word in words), name


def test_nothing_lies_outside_the_printable_part_of_a_page(keys):
    _, _, pages = opened(keys)
    assert_none(proof.outside(pages, paper.printable_mm(keys.sheets["paper"]["name"])))


def test_cards_lie_apart_and_no_text_lies_on_another_or_across_an_outline(keys):
    cards, outlines, pages = opened(keys)
    numbered = list(zip(cards, outlines))
    for (one, a), (other, b) in itertools.combinations(numbered, 2):
        assert one.number != other.number or not a.intersects(b), f"{one.label} and {other.label} overlap"
    for name, page in pages:
        for one, other in itertools.combinations(page.texts, 2):
            assert one.box.intersection(other.box).area < TOUCH_MM2, f"{name}: {one.content} on {other.content}"
        for text in page.texts:
            assert text.cap_height >= LEAST_CAPITALS_MM, f"{name}: {text.content}"
            here = [(card.label, outline) for card, outline in numbered if name == f"page {card.number}"]
            crossed = [label for label, outline in here if outline.exterior.intersects(text.box)]
            assert not crossed, f"{name}: {text.content} lies on the outline of {crossed}"


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.parametrize("template", ["perimeter-lines", "target-line"])
@pytest.mark.parametrize("other", ["lines", "grid"])
def test_no_other_mode_takes_as_few_pages(size, template, other):
    job = ("--vehicle", "delivery-van", "--template", template, "--paper", size)
    count = {mode: kit.made(*job, "--mode", mode).sheets["count"] for mode in ("keys", other)}
    assert count["keys"] < count[other]


def test_sheet_0_says_how_to_lay_keys_and_nothing_of_trimming():
    made = kit.made("--mode", "keys")
    first = card_module.vectors.read(made.path("stencils.pdf"), [1])[0]
    words = " ".join(text.content for text in first.texts)
    assert "Lay by tape from the centreline" in words and "Where the keys lie" in words
    assert "Trim" not in words and "registration" not in words
    named = {text.content for text in first.texts}
    assert set(made.marks) <= named, "the map does not name every mark"
