"""Paper sizes from the standards."""

POINTS_PER_MM = 72 / 25.4  # ISO 32000: a user unit is 1/72 in; 1 in = 25.4 mm exactly.

# ISO 216, A4: 210 × 297 mm. ASME Y14.1, size A ("Letter"): 8.5 × 11 in.
SIZES_MM = {"a4": (210.0, 297.0), "letter": (8.5 * 25.4, 11 * 25.4)}

# Margins of the built-in printer profile (common practice, no source): left, right, top, bottom.
MARGINS_MM = (10.0, 10.0, 10.0, 15.0)


def size_mm(name):
    """Width and height of an upright sheet."""
    return SIZES_MM[name.lower()]


def printable_mm(name):
    """x0, y0, x1, y1 of what the built-in printer profile prints on, from the page's lower left corner."""
    width, height = size_mm(name)
    left, right, top, bottom = MARGINS_MM
    return left, bottom, width - right, height - top
