"""Keys: the cards of stencils.pdf, each with what is drawn on it alone."""

from dataclasses import replace

import numpy as np
from shapely.geometry import Point, box

import sheet as sheet_module
import vectors

# Coordinates reach the reader as 32-bit floats; see `proof`.
NEAR_MM = 0.02


def cards_of(kit):
    """All keys of a kit, each as a sheet whose page holds the key's card alone, with the cards' outlines; and all
    pages that carry keys."""
    sheets, _ = sheet_module.sheets_of(kit)
    cards, outlines = [], []
    for sheet in sheets:
        outline = _outline(sheet)
        cards.append(replace(sheet, page=_within(sheet.page, outline)))
        outlines.append(outline)
    pages = {sheet.number: sheet.page for sheet in sheets}
    return cards, outlines, [(f"page {number}", page) for number, page in sorted(pages.items())]


def _outline(sheet):
    """The dashed rectangle about a key's window."""
    middle = Point(sheet.on_page(sheet.window).centroid)
    found = []
    for stroke in sheet.page.strokes:
        if stroke.layer == "registration" and stroke.dashed:
            points = np.array([point for run in stroke.runs for point in run])
            rectangle = box(*points.min(axis=0), *points.max(axis=0))
            if rectangle.contains(middle):
                found.append(rectangle)
    assert len(found) == 1, f"{sheet.label} has {len(found)} outlines to be cut along"
    return found[0]


def _within(page, outline):
    room = outline.buffer(NEAR_MM, join_style="mitre")
    return vectors.Page(
        page.width, page.height,
        [fill for fill in page.fills if room.contains(fill.area)],
        [stroke for stroke in page.strokes if all(room.contains(Point(p)) for run in stroke.runs for p in run)],
        [text for text in page.texts if room.contains(text.box)],
    )


def arms(card):
    """How far the straight strokes through a key's middle reach on its page: left, right, down, up, mm."""
    middle = card.on_page(card.window).centroid
    reach = {"left": 0.0, "right": 0.0, "down": 0.0, "up": 0.0}
    for layer in ("registration", "marks", "lines"):
        for line in card.segments(layer):
            (x0, y0), (x1, y1) = line.coords
            if max(abs(y0 - middle.y), abs(y1 - middle.y)) < NEAR_MM:
                reach["left"] = max(reach["left"], middle.x - min(x0, x1))
                reach["right"] = max(reach["right"], max(x0, x1) - middle.x)
            elif max(abs(x0 - middle.x), abs(x1 - middle.x)) < NEAR_MM:
                reach["down"] = max(reach["down"], middle.y - min(y0, y1))
                reach["up"] = max(reach["up"], max(y0, y1) - middle.y)
    return reach
