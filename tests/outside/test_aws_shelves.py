"""Shelf lengths of the Architectural Woodwork Standards, 1st edition 2009, 4.4.14.10, p. 279.

Text read. Greatest length at L/144 under an even load, per inch of width, no creep; the book
truncates to the whole inch and rounds up once. Its stiffnesses, and its limit, are in the kit's
tables.
"""

from functools import partial

from kit import materials
from kit.checks.strength import beams
from kit.limits import SagLimit
from kit.sources import source
from published import Figure, Within, by, each, held, worked

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


def longest_in(psi: float, inches: float, psf: float) -> float:
    """The longest shelf at L/144, in."""
    width = 300.0  # it falls out
    ei = psi * PSI * beams.second_moment_mm4(width, inches * INCH)
    return beams.longest_span_mm(144, psf * PSF * width, ei) / INCH


def metric_twin_mm() -> float:
    """Of 950,000 psi, 3/4 in, 40 psf, in SI."""
    ei = 6550 * beams.second_moment_mm4(1.0, 19.05)
    return beams.longest_span_mm(144, 1915.2e-6, ei)


AWS = source("aws-2009")
PUBLISHED = {
    AWS: [
        *(
            Figure(
                f"longest shelf of {psi:,} psi, {inches:g} in thick, under {psf} psf",
                "in",
                told,
                partial(longest_in, psi, inches, psf),
                Within(0.1, 0.75),
            )
            for psi, inches, psf, told in TABLE
        ),
        Figure("span over sag allowed", "", 144, lambda: SagLimit.WOODWORK.ratio),
        Figure(
            "veneer core plywood, least stiffness, 950,000 psi",
            "MPa",
            950_000 * PSI,
            lambda: materials.sheet_good("maple-ply-3/4").e_along_min_mpa,
            by(1),
        ),
        Figure(
            "solid red oak, 1,820,000 psi",
            "MPa",
            1_820_000 * PSI,
            lambda: materials.wood("red-oak").e_along_mpa,
            by(1),
        ),
    ],
    worked(AWS): [Figure("its metric twin, 1915.2 Pa", "mm", 1016.7, metric_twin_mm, by(0.2))],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)
