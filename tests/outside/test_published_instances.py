"""Published cutting instances against the best numbers of sheets known for them.

Sizes: Beasley J. E., 'Algorithms for unconstrained two-dimensional guillotine cutting', Journal
of the Operational Research Society 36 (1985) 297-306, instances gcut1, 2, 3, 5, 9 and 13; typed
in as facts from a public copy (the data folder of the solver's own repository, fontanf/
packingsolver, data/rectangle/beasley1985).
As bin packing, each board once, none turned: Martello S., Vigo D., 'Exact solution of the
two-dimensional finite bin packing problem', Management Science 44 (1998) 388-399. The best
known numbers of sheets below are from memory, and hold for layouts that need not be cut edge to
edge; ours must be, so one sheet more can be the true optimum.
"""

from __future__ import annotations

from functools import cache, partial

import pytest

from kit.making.nesting.guillotine import final_layout
from kit.making.nesting.layout import Layout, Piece, Sheet
from kit.sources import Kind, Seen, Source
from published import Figure, Within, each, held

# name: side of the square sheet, best known number of sheets, sizes as 'length x width'
INSTANCES: dict[str, tuple[int, int, str]] = {
    "gcut1": (
        250,
        5,
        "167x184 114x118 167x152 83x140 70x86 143x166 120x160 66x148 87x141 69x165",
    ),
    "gcut2": (
        250,
        6,
        "120x133 135x186 86x75 103x73 66x85 135x97 91x175 131x176 71x176 153x72 87x148 168x107 "
        "118x90 140x109 132x159 152x93 135x68 121x158 68x94 155x76",
    ),
    "gcut3": (
        250,
        8,
        "66x80 164x107 64x184 121x86 163x135 85x98 81x102 103x186 152x106 176x139 111x118 69x169 "
        "146x133 112x112 133x160 63x129 163x152 110x155 96x136 92x142 84x143 119x133 71x71 "
        "146x84 93x86 89x86 101x146 172x73 73x169 99x99",
    ),
    "gcut5": (
        500,
        3,
        "198x205 179x155 364x236 272x147 352x145 343x245 132x174 164x250 282x356 342x151",
    ),
    "gcut9": (
        1000,
        3,
        "310x426 673x468 426x463 325x498 555x540 292x455 343x341 362x491 305x688 459x607",
    ),
    "gcut13": (
        3000,
        2,
        "365x185 378x200 410x165 425x148 425x296 439x116 464x1006 520x205 520x350 540x530 "
        "549x1413 549x1882 553x496 555x755 555x496 555x659 567x473 572x592 572x975 572x1175 "
        "572x1575 572x1390 572x1490 572x1590 572x1690 572x1890 610x625 660x490 690x447 949x445 "
        "949x478 970x463",
    ),
}


@cache
def laid_out(name: str) -> Layout:
    """The instance, each board once, none turned."""
    side, _, sizes = INSTANCES[name]
    boards = [
        Piece(f"{name}-{i}", *map(float, size.split("x")), grain_locked=True)
        for i, size in enumerate(sizes.split())
    ]
    return final_layout(boards, [Sheet(name, side, side)], kerf_mm=0.0, budget_s=1)


MARTELLO = Source(
    key="martello-vigo",
    title="Martello and Vigo, finite bin packing, best known for instances of Beasley (1985)",
    page="Management Science 44, 388-399",
    year=1998,
    kind=Kind.ARTICLE,
    seen=Seen.MEMORY,
)
PUBLISHED = {
    MARTELLO: [
        Figure(
            f"{name}, fewest sheets",
            "",
            best,
            partial(lambda name: laid_out(name).full_sheets, name),
            Within(0, 1),
        )
        for name, (_, best, _) in INSTANCES.items()
    ]
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


@pytest.mark.parametrize("name", INSTANCES)
def test_our_lower_bound_does_not_exceed_a_known_layout(name: str) -> None:
    assert laid_out(name).least_sheets <= INSTANCES[name][1]
