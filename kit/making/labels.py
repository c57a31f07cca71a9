"""Labels: what a maker has to know of a board when only the board is there."""

from collections.abc import Iterable
from dataclasses import dataclass

from kit.board import Board, Grain, Surface
from kit.casework import Casework
from kit.design_file import fingerprint
from kit.edition import BoardEdition, editions
from kit.making.sheets import Finish, SheetPlan, finish_of
from kit.units import System, decimal, text

#: The two sides of the piece along each axis of the room, that at the lower coordinate first.
_SIDES = (("left", "right"), ("front", "rear"), ("bottom", "top"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """The label of one board, as printed; it goes on face A, the show face, near end 1.

    `datum` tells which way edge 1, end 1 and face A point in the finished piece; `rough` the size
    at which it comes off the sheet, empty where that is its `size`.
    """

    mark: str
    name: str
    size: str
    rough: str
    material: str
    sheet: str
    grain: Grain
    hand: str
    datum: str
    joins: tuple[str, ...]
    fit: str
    design: str


def labels(casework: Casework, plan: SheetPlan, system: System) -> tuple[Label, ...]:
    """One label a board, in build order. Sizes are cut sizes, T x W x L."""
    stamp = f"{casework.design.name} {fingerprint(casework.design)[:8]}"
    printed = editions(casework, system)
    return tuple(
        _label(casework, plan, board, printed[board.name], system, stamp)
        for board in casework.boards
    )


def datum(board: Board) -> str:
    """Where edge 1, end 1 and face A of a board are in the piece, seen from its front."""
    place = board.place
    sides = {
        "edge 1": _SIDES[place.across.axis][place.across.sign < 0],
        "end 1": _SIDES[place.along.axis][place.along.sign < 0],
        "face A": _SIDES[place.out.axis][place.out.sign > 0],
    }
    return ", ".join(f"{mark}: {side}" for mark, side in sides.items())


def joined(casework: Casework, board: Board) -> dict[Surface, tuple[str, ...]]:
    """The boards that meet each surface of a board, by the attachment schedule."""
    met: dict[Surface, tuple[str, ...]] = {}
    for name in _partners(casework, board):
        surface = _meeting(board, casework.by_name[name])
        met[surface] = (*met.get(surface, ()), name)
    return dict(sorted(met.items(), key=lambda item: list(Surface).index(item[0])))


def _label(
    casework: Casework,
    plan: SheetPlan,
    board: Board,
    printed: BoardEdition,
    system: System,
    stamp: str,
) -> Label:
    return Label(
        mark=casework.marks[board.name],
        name=board.name,
        size=f"{decimal(board.thickness, system)} x {printed.cut.text}",
        rough=_rough(casework, board, printed, system),
        material=board.stock.label + (f", {board.layers} layers" if board.layers > 1 else ""),
        sheet=plan.sheet_names[board.name],
        grain=board.grain,
        hand=next((h.upper() for h in ("left", "right") if board.name.endswith(f"-{h}")), ""),
        datum=datum(board),
        joins=tuple(
            f"{surface.plain}: {', '.join(names)}"
            for surface, names in joined(casework, board).items()
        ),
        fit=f"cut to fit: {printed.fit}" if printed.fit else "",
        design=stamp,
    )


def _rough(casework: Casework, board: Board, printed: BoardEdition, system: System) -> str:
    """How it comes off the sheet, where it gets its size later."""
    shop = casework.design.shop
    finish = finish_of(board, shop)
    if finish is Finish.TABLE_SAW and shop.table_saw is not None:
        return f"off the sheet {text(shop.table_saw.allowance, system)} over each way"
    if finish is Finish.GUIDE:
        return ""
    layer = ", each layer" if board.layers > 1 else ""
    return f"off the sheet rough, {printed.rough.text}{layer}"


def _partners(casework: Casework, board: Board) -> Iterable[str]:
    """Names of the boards that it is fastened to, each once."""
    found: list[str] = []
    for line in casework.fastenings:
        hosts = line.to.split(", ")
        if line.board == board.name:
            found += hosts
        elif board.name in hosts:
            found.append(line.board)
    return dict.fromkeys(found)


def _meeting(board: Board, other: Board) -> Surface:
    """The surface of `board` that the other one reaches in by the least way."""
    box = board.place.box_to_board(other.box)
    size = (board.length, board.width, board.thickness)

    def reach(surface: Surface) -> float:
        i = surface.axis
        return size[i] - box.lo[i] if surface.far else box.hi[i]

    return min(Surface, key=lambda surface: abs(reach(surface)))
