"""Distances of the demonstration layout for a network that stands by itself, with nothing known of how its marks were laid."""


def _pairs(text):
    return [tuple(pair.split("-")) for pair in text.split()]


# No line runs through a wheel, and every displacement of a mark shows: sides, ends, diagonals, and ties of the outer marks and of
# the centreline's.
BETWEEN_MARKS = _pairs("""
    1L-2L 3L-4L 1R-2R 3R-4R 1L-1R 4L-4R 1L-3R 2L-3R 3L-2R 4L-2R 3L2-2R2 4C-2R2 1L-2L2 1L-2R2 1C-1R 1C-2L 1C-2R 1C-2R2 1C-3L2
    1C-3L 1C-3R 1C-3R2 1R-2L2 1R-2R2 2L2-2L 2L2-3L 2L2-3R 2L-3R2 2L-4C 2R-2R2 2R2-3L 2R2-3R 3L2-3L 3L2-4L 3L2-4R 3L-4C 3R-3R2
    3R-4C 3R2-4L 3R2-4R 4C-4R
""")

# Each wheel to the two side marks nearest to it.
FROM_WHEELS = _pairs("WFL-2L WFL-1L WFR-2R WFR-1R WRL-3L WRL-4L WRR-3R WRR-4R")
