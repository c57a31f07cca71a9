"""Shelf lengths of the Architectural Woodwork Standards, 1st edition 2009, 4.4.14.10, p. 279.

Text read. Greatest length at L/144 under an even load, per inch of width, no creep; the book
truncates to the whole inch and rounds up once.
"""

import pytest

from kit.checks.strength import beams

PSI = 6894.757e-6  # MPa
INCH = 25.4
PSF = 47.88026e-6  # MPa

# E psi, thickness in, (load psf, published in)
TABLE = [
    (950_000, 0.75, 40, 40),
    (950_000, 0.75, 50, 37),
    (950_000, 1.00, 40, 53),
    (950_000, 1.00, 50, 49),
    (1_800_000, 0.75, 40, 49),
    (1_800_000, 0.75, 50, 46),
    (1_800_000, 1.00, 40, 66),
    (1_800_000, 1.00, 50, 61),
    (1_820_000, 0.75, 40, 49),
    (1_820_000, 0.75, 50, 46),
    (1_820_000, 1.00, 40, 66),
    (1_820_000, 1.00, 50, 61),
]


@pytest.mark.parametrize(("psi", "inches", "psf", "published"), TABLE)
def test_length_of_the_table(psi, inches, psf, published):
    width = 300.0  # it falls out
    ei = psi * PSI * beams.second_moment_mm4(width, inches * INCH)
    longest = beams.longest_span_mm(144, psf * PSF * width, ei) / INCH
    assert -0.1 <= longest - published <= 0.75


def test_its_metric_twin():
    ei = 6550 * beams.second_moment_mm4(1.0, 19.05)
    assert beams.longest_span_mm(144, 1915.2e-6, ei) == pytest.approx(1016.7, abs=0.2)
