"""Lengths as a tape shows them, rounded independently of the program."""

from fractions import Fraction
from math import floor

MINUS = "\u2212"

# How near to a tie a length may lie for either neighbour to count as rounded well: coordinates reach the test as
# decimal text, so the last bit of a half is not its own. 1 in = 25.4 mm exactly.
TIE = Fraction(1, 10**6)
MM_PER_INCH = Fraction(254, 10)


def _rounded(value):
    """Whole numbers to which `value` may be rounded; one, but for ties."""
    return {floor(value + Fraction(1, 2) + shift) for shift in (-TIE, 0, TIE)}


def _signed(number, text):
    return (MINUS if number < 0 else "") + text


def mm_texts(value):
    """Whole millimetres, with a true minus sign."""
    return {_signed(n, str(abs(n))) for n in _rounded(Fraction(value))}


def inch_texts(value):
    """Inches to the nearest 1/16, the fraction in lowest terms: `39 3/8`, `−9/16`, `12`."""
    return {_signed(n, _mixed(abs(n))) for n in _rounded(Fraction(value) / MM_PER_INCH * 16)}


def _mixed(sixteenths):
    whole, rest = divmod(sixteenths, 16)
    if rest == 0:
        return str(whole)
    part = Fraction(rest, 16)
    return f"{whole} {part}" if whole else str(part)
