"""The sag of eight whole consoles against three-dimensional finite elements (CalculiX 2.20).

Incompatible-mode bricks made of the boards' boxes, joints as springs over their faces, loads on
their true footprint: `tests/engine/`, and `python tests/engine_consoles.py` prints the table.
Takes minutes and wants Debian's `calculix-ccx`.
"""

import pytest

from engine.bricks import there
from engine_consoles import CONSOLES, SEEN, compared, textbook

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not there(), reason="CalculiX (calculix-ccx) is not installed"),
]


def test_the_engine_itself_agrees_with_the_books() -> None:
    for words, engine, book in textbook():
        assert engine == pytest.approx(book, rel=0.01), words


@pytest.mark.parametrize("name", CONSOLES)
def test_boards_sag_as_the_engine_has_it(name: str) -> None:
    boards = list(compared(name))
    assert any(board.engine_mm > SEEN for board in boards)
    for board in boards:
        assert board.agrees, f"{board.board} {board.line}: {board.ratio:.2f}"
