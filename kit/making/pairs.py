"""Mirrored boards cut alike: how they are laid together so that their cuts line up."""

from collections.abc import Iterator, Sequence

from kit.board import Board, Feature, Operation
from kit.joinery import Trench

#: Cuts this near to each other are the same cut, mm: far below what one sets.
SAME_CUT = 0.01


def pair_notes(cuts: Sequence[tuple[Board, Feature]]) -> Iterator[str]:
    """What to mind with the mirrored boards of one setting; nothing where there are none."""
    others = []
    for one, other in _mirrored(cuts):
        mine = [feature for board, feature in cuts if board is one]
        if all(isinstance(f, Trench) and f.operation is Operation.DADO for f in mine):
            yield _dadoes(one, other, [f for f in mine if isinstance(f, Trench)])
        else:
            others.append(f"{one.name} and {other.name}")
    if others:
        yield f"mirrored, so mark the show faces first: {', '.join(others)}"


def _dadoes(one: Board, other: Board, dadoes: Sequence[Trench]) -> str:
    """One pass over both boards only where it crosses nothing that must stay."""
    pair = f"{one.name} and {other.name}"
    width = one.width
    runs_out_near = all(cut.start <= SAME_CUT for cut in dadoes)
    runs_out_far = all(cut.stop >= width - SAME_CUT for cut in dadoes)
    if not runs_out_near and not runs_out_far:
        return (
            f"lay {pair} side by side, ends flush: two stopped cuts from one guide, so they line up"
        )
    edge = "edge 1" if runs_out_near else "edge 2"
    stops = "" if runs_out_near and runs_out_far else ", with a stop at each outer edge"
    return f"clamp {pair} {edge} to {edge}, ends flush, and rout both at once{stops}: they line up"


def _mirrored(cuts: Sequence[tuple[Board, Feature]]) -> Iterator[tuple[Board, Board]]:
    """Pairs of boards of one size, one the mirror image of the other, with the same cuts.

    Only these lie end 1 to end 1 when edge meets like edge with the same faces up.
    """
    boards = list({board.name: board for board, _ in cuts}.values())
    while boards:
        one = boards.pop(0)
        for other in boards:
            if _twins(one, other) and _alike(
                [f for board, f in cuts if board is one],
                [f for board, f in cuts if board is other],
            ):
                boards.remove(other)
                yield one, other
                break


def _twins(one: Board, other: Board) -> bool:
    same = abs(one.length - other.length) <= SAME_CUT and abs(one.width - other.width) <= SAME_CUT
    return same and one.place.mirrored != other.place.mirrored


def _alike(some: Sequence[Feature], others: Sequence[Feature]) -> bool:
    """Whether two boards carry the same cuts of a setting, face by face."""
    return len(some) == len(others) and all(any(_same_cut(a, b) for b in others) for a in some)


def _same_cut(a: Feature, b: Feature) -> bool:
    if type(a) is not type(b) or a.surface is not b.surface:
        return False
    if isinstance(a, Trench) and isinstance(b, Trench):
        measures = ((a.offset, b.offset), (a.start, b.start), (a.stop, b.stop))
        return all(abs(x - y) <= SAME_CUT for x, y in measures)
    return True
