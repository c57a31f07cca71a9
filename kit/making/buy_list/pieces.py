"""Rows of the buy list by the piece and by the litre: hardware, glue, finish, consumables."""

import math
from collections import defaultdict
from collections.abc import Iterator

from kit.casework import Casework
from kit.checks.loads import screen_of
from kit.components.made import Fastening
from kit.cutters import cutter
from kit.hardware import Piece, PocketScrew, WoodScrew, finish, glue, grommets, piece
from kit.making.areas import finish_mm2, glue_mm2
from kit.making.buy_list.row import (
    ANCHOR,
    ANCHORS,
    GLUE,
    GRITS,
    SCREEN_STRAP,
    SCREEN_STRAP_LABEL,
    SHIMS,
    TAPE,
    WAX,
    Bore,
    BuyKind,
    BuyRow,
    Measure,
    hardware_key,
    in_short,
    liners,
    paper_key,
    price_of,
)
from kit.materials import lumbers

#: Spare pieces of small hardware: one in ten, and two at least. Common practice, no source.
SPARE_SHARE, SPARE_LEAST = 0.1, 2
#: Size of a bottle of glue and of a can of finish, litres.
BOTTLE_L, CAN_L = 0.25, 1.0
#: One sheet of sandpaper of each grit does this area. From memory.
PAPER_M2 = 1.5


def hardware_rows(casework: Casework) -> Iterator[BuyRow]:
    """Screws, bolts, pins and dowels with spares; liners; the anchors to the wall."""
    wanted: dict[str, list[Fastening]] = defaultdict(list)
    for fastening in casework.fastenings:
        key = hardware_key(fastening)
        if key is not None and key not in lumbers():
            wanted[key].append(fastening)
    for key, fastenings in wanted.items():
        first = fastenings[0]
        row = piece(key) if first.item else None
        means = first.means.value
        yield _pieces(
            casework,
            key,
            row.label if row else f"{means}, not in the tables",
            sum(f.count for f in fastenings),
            f"{means}: {in_short(f'{f.board} to {f.to}' for f in fastenings)}",
            bores=_bores(row) if row else (),
            note="" if row else "find it, and test it in scrap, before the holes are drilled",
            untabled_mm=None if row else first.diameter or 0.0,
        )
    lined: dict[str, list[str]] = defaultdict(list)
    for board in casework.boards:
        for liner in liners(board):
            lined[liner.key].append(board.name)
    for key, boards in lined.items():
        row = grommets()[key]
        yield _pieces(
            casework,
            key,
            row.label,
            len(boards),
            f"cable holes in {in_short(dict.fromkeys(boards))}",
            bores=_bores(row),
            spare=False,
            note="one to a hole, pressed in from the side that is seen",
        )
    strap = piece(ANCHOR)
    yield _pieces(
        casework,
        ANCHOR,
        strap.label,
        ANCHORS,
        "anchors the console to the wall",
        bores=_bores(strap),
        spare=False,
        note="into studs or masonry: find them first; follow the strap's own instructions",
    )
    if screen_of(casework) is not None:
        yield _pieces(
            casework,
            SCREEN_STRAP,
            SCREEN_STRAP_LABEL,
            1,
            "anchors the screen to the wall",
            bores=(),
            spare=False,
            note="with screws for the rear of the screen; follow the screen maker's instructions",
        )


def _pieces(
    casework: Casework,
    key: str,
    label: str,
    count: int,
    purpose: str,
    *,
    bores: tuple[Bore, ...],
    spare: bool = True,
    note: str = "",
    untabled_mm: float | None = None,
) -> BuyRow:
    spares = max(SPARE_LEAST, math.ceil(SPARE_SHARE * count)) if spare else 0
    return BuyRow(
        kind=BuyKind.HARDWARE,
        key=key,
        label=label,
        need=float(count),
        measure=Measure.PIECES,
        buy=count + spares,
        sold_as="piece",
        pack=1.0,
        allowance=f"{spares} spare" if spares else "none",
        purpose=purpose,
        bores=bores,
        note=note,
        price=price_of(casework, key),
        untabled_mm=untabled_mm,
    )


def _bores(row: Piece) -> tuple[Bore, ...]:
    """The holes of a piece: what is drilled, never what it is sold as."""
    if isinstance(row, WoodScrew):
        tools = (cutter(row.clearance_cutter), "clearance"), (cutter(row.pilot_cutter), "pilot")
        return tuple(Bore(tool.diameter_mm, tool.name, purpose) for tool, purpose in tools)
    tool = cutter(row.cutter)
    if isinstance(row, PocketScrew):
        return (Bore(tool.diameter_mm, tool.name, "pocket"),)
    return (Bore(row.hole_mm, tool.name),)


def liquid_rows(casework: Casework) -> Iterator[BuyRow]:
    """Glue by the area of the joints, finish by area and coats."""
    area_m2 = glue_mm2(casework) / 1e6
    if area_m2 > 0:
        row = glue(GLUE)
        litres = row.litres(area_m2)
        yield BuyRow(
            kind=BuyKind.GLUE,
            key=row.key,
            label=row.label,
            need=litres,
            measure=Measure.LITRES,
            buy=math.ceil(litres / BOTTLE_L - 1e-9),
            sold_as=f"bottle of {BOTTLE_L:g} l",
            pack=BOTTLE_L,
            allowance=f"spread at {row.spread_max_g_m2:.0f} g/m2, the most that is usual",
            purpose=f"glue joints, {area_m2:.2f} m2",
            price=price_of(casework, row.key),
        )
    coat = finish(casework.design.shop.finish)
    area_m2 = finish_mm2(casework) / 1e6
    litres = coat.litres(area_m2)
    yield BuyRow(
        kind=BuyKind.FINISH,
        key=coat.key,
        label=coat.label,
        need=litres,
        measure=Measure.LITRES,
        buy=math.ceil(litres / CAN_L - 1e-9),
        sold_as=f"can of {CAN_L:g} l",
        pack=CAN_L,
        allowance=f"at {coat.coverage_min_m2_per_l:g} m2/l, the least that is usual, and "
        f"{coat.first_coat_extra:.0%} more for the first coat",
        purpose=f"{coat.coats} coats on {area_m2:.1f} m2: both faces and all edges of every board",
        price=price_of(casework, coat.key),
    )


def consumable_rows(casework: Casework) -> Iterator[BuyRow]:
    """What is used up on the way."""
    area_m2 = finish_mm2(casework) / 1e6
    for grit in GRITS:
        need = math.ceil(area_m2 / PAPER_M2)
        yield _consumable(casework, paper_key(grit), f"sandpaper, {grit} grit", need, "sanding")
    yield _consumable(
        casework, TAPE, "masking tape", 1, "joints kept free of finish, and clean edges of dadoes"
    )
    yield _consumable(casework, SHIMS, "tapered shims", 1, "the case stood level")
    if casework.doors:
        yield _consumable(casework, WAX, "paste wax", 1, "door tracks and the edges of the doors")


def _consumable(casework: Casework, key: str, label: str, count: int, purpose: str) -> BuyRow:
    unit = {TAPE: "roll", WAX: "tin", SHIMS: "pack"}.get(key, "sheet")
    return BuyRow(
        kind=BuyKind.CONSUMABLE,
        key=key,
        label=label,
        need=float(count),
        measure=Measure.PIECES,
        buy=count,
        sold_as=unit,
        pack=1.0,
        allowance="none",
        purpose=purpose,
        price=price_of(casework, key),
    )
