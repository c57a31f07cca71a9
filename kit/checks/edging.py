"""Is the edging wide enough for the board it goes on?"""

from collections.abc import Iterator

from kit.casework import Casework
from kit.finding import Finding, Sense, judge

#: What a strip must stand over the two faces together, to be trimmed flush, mm.
OVER = 1.0


def check_edging(casework: Casework) -> Iterator[Finding]:
    """The thickest board of each edging against its width; nothing without edging."""
    edged = [board for board in casework.boards if board.edging and board.edged]
    for edging in dict.fromkeys(board.edging for board in edged):
        if edging is None:
            continue
        boards = [board for board in edged if board.edging == edging]
        thickest = max(boards, key=lambda board: board.thickness)
        yield judge(
            "edging covers",
            edging.label,
            edging.width_mm,
            thickest.thickness + OVER,
            sense=Sense.AT_LEAST,
            unit="mm",
            why=f"It is {casework.say(edging.width_mm)} wide and goes on {thickest.name}, "
            f"{casework.say(thickest.thickness)} thick; it has to be trimmed flush on both faces.",
            source=edging.source[0],
            boards=tuple(board.name for board in boards),
        )
