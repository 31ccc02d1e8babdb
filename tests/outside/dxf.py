"""DXF read back by ezdxf: layers, and polylines as chords with their bulges as arcs."""

import math
from dataclasses import dataclass

import ezdxf
from ezdxf.math import bulge_to_arc

# How far a chord may stray from its arc, mm: a twentieth of what formats may differ by.
CHORD_MM = 0.00005

# Layers of every file: the one that the format has by itself, and that of texts.
OWN_LAYERS = {"0", "TEXT"}


@dataclass
class Run:
    """A polyline: its layer, its chords (the last point of a closed one is its first), its corners."""

    layer: str
    points: list
    closed: bool
    corners: list


def read(path):
    """(document, runs in the order of the file); nothing in it that a reader has to put right."""
    document = ezdxf.readfile(path)
    assert document.dxfversion == "AC1009" and path.read_bytes().isascii()
    auditor = document.audit()
    assert not auditor.errors and not auditor.fixes, [*auditor.errors, *auditor.fixes]
    runs = []
    for entity in document.modelspace():
        kind = entity.dxftype()
        assert kind in ("POLYLINE", "TEXT"), kind
        assert entity.dxf.layer in document.layers, entity.dxf.layer
        if kind == "TEXT":
            assert entity.dxf.layer == "TEXT"
            continue
        points = flattened(entity)
        corners = [(v.dxf.location.x, v.dxf.location.y) for v in entity.vertices]
        runs.append(Run(entity.dxf.layer, points, entity.is_closed, corners))
    return document, runs


def flattened(polyline):
    """Its points, arcs as chords. (The reader's own paths make cubics of arcs, a quarter circle each: 0.03 % of the radius.)"""
    vertices = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0)) for v in polyline.vertices]
    following = [*vertices[1:], vertices[0]] if polyline.is_closed else vertices[1:]
    points = [vertices[0][:2]]
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, following):
        if bulge:
            centre, start, end, radius = bulge_to_arc((x0, y0), (x1, y1), bulge)
            sweep = (end - start) % math.tau
            count = max(1, math.ceil(sweep / (2 * math.acos(1 - min(1, CHORD_MM / radius)))))
            arc = [(centre.x + radius * math.cos(start + sweep * i / count), centre.y + radius * math.sin(start + sweep * i / count)) for i in range(1, count)]
            points += arc if bulge > 0 else arc[::-1]
        points.append((x1, y1))
    return points


def layers(document):
    """Names of the layers that are declared; the reader adds one of its own for dimensions."""
    return {layer.dxf.name for layer in document.layers} - {"Defpoints"}


def texts(document):
    """(text, place) of each text, in the order of the file."""
    return [(text.dxf.text, text.dxf.align_point if text.dxf.halign else text.dxf.insert) for text in document.modelspace().query("TEXT")]
