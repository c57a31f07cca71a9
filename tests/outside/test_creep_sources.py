"""Creep of wood and panels.

Wood Handbook, FPL-GTR-190, Creep and Relaxation (text read): after years as much again, two to
three times that at 28 K more. NDS 3.5.2 (text read): 1.5 of the first sag seasoned, 2.0 wet.
Timber in heated rooms over 7 to 8 years, 2000 (text read): 0.3 to 1.0 of the first sag, 0.6
typical. Eurocode 5, k_def in service class 1: from memory.
"""

from kit.checks.strength.creep import after_years, creep_of, warmth
from kit.sources import source
from published import Figure, Within, each, held

PLY, MDF, OAK = "walnut-ply-3/4", "mdf-3/4", creep_of("white-oak-board-4/4")

PUBLISHED = {
    source("wood-handbook-creep"): [
        Figure("plywood after years over at first", "", 2.0, lambda: after_years(PLY)),
        Figure("creep at 28 K more, times", "", (2.0, 3.0), lambda: warmth(28.0)),
    ],
    source("nds-creep"): [
        Figure(
            "solid wood after years over at first",
            "",
            (1.5, 2.0),
            lambda: after_years("white-oak-board-4/4"),
        )
    ],
    source("creep-heated-rooms"): [
        Figure("creep of solid wood, least", "", 0.3, lambda: OAK.creep_min_ratio),
        Figure("creep of solid wood, typical", "", 0.6, lambda: OAK.creep_ratio),
        Figure("creep of solid wood, most", "", 1.0, lambda: OAK.creep_max_ratio),
    ],
    source("ec5"): [
        # the kit takes the greater creep of the Wood Handbook
        Figure("plywood, k_def", "", 0.80, lambda: creep_of(PLY).creep_ratio, Within(0.0, 0.2)),
        Figure("MDF, k_def", "", 2.25, lambda: creep_of(MDF).creep_ratio),
        Figure("MDF after years over at first", "", 3.25, lambda: after_years(MDF)),
        Figure("particleboard, k_def", "", 2.25, lambda: creep_of("particleboard-3/4").creep_ratio),
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)
