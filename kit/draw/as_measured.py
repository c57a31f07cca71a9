"""A board that is cut to fit, at the size of the opening that was measured."""

from dataclasses import replace

from kit.board import Board, Feature
from kit.casework import Casework
from kit.geometry import SAME_MM
from kit.joinery import Notch, Trench


def as_measured(casework: Casework, board: Board) -> Board:
    """The board with the length or width that its measured opening gives; it fits from then on.

    A board that is not cut to fit, or whose opening was not measured yet, is as it was. All
    measures stay those from the datum corner; a channel or notch that reaches the far end or
    edge reaches it still, and a rabbet there keeps its width.
    """
    if board.fit is None or board.fit.opening not in casework.design.measured.opening:
        return board
    finished = casework.as_measured(board, board.finished)
    more = (finished.length - board.length, finished.width - board.width)
    axis = 0 if more[0] else 1
    features = tuple(_stretched(feature, board, axis, more[axis]) for feature in board.features)
    return replace(board, length=finished.length, width=finished.width, features=features, fit=None)


def _stretched(feature: Feature, board: Board, axis: int, more: float) -> Feature:
    far = (board.length, board.width)[axis] - SAME_MM
    match feature:
        case Trench(run=run, stop=stop) if run == axis and stop >= far:
            return replace(feature, stop=stop + more)
        case Trench(across=across) if across == axis and feature.offset + feature.width >= far:
            return replace(feature, offset=feature.offset + more)
        case Notch(hi=hi) if hi[axis] >= far:
            x, y = (h + more * (i == axis) for i, h in enumerate(hi))
            return replace(feature, hi=(x, y))
    return feature
