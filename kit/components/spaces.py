"""The clear rooms above every surface of the case that something can stand on."""

from collections.abc import Mapping, Sequence

from kit.board import Board
from kit.components.made import Bay, Frame
from kit.errors import BuildError
from kit.geometry import Box

#: The surfaces of a design that are no shelves.
BOTTOM, TOP = "bottom", "top"
#: Height of the free space above the case, mm: more than any device has.
ABOVE = 2000.0


class Spaces:
    """The clear rooms above every surface that something can stand on."""

    def __init__(
        self, frame: Frame, bays: Sequence[Bay], shelves: Sequence[tuple[int, Board]]
    ) -> None:
        """`shelves` are (bay number, board)."""
        self.bays = bays
        self._boards: Mapping[int, dict[str, Box]] = {
            bay.number: {b.name: b.box for number, b in shelves if number == bay.number}
            for bay in bays
        }
        lid = frame.top.box
        outer = (frame.left.box.lo, frame.right.box.hi)
        self.top = Box(
            (outer[0][0], lid.lo[1], lid.hi[2]), (outer[1][0], lid.hi[1], lid.hi[2] + ABOVE)
        )

    def names(self, bay: int) -> list[str]:
        """The surfaces of a bay, bottom first, then its shelves in their order."""
        return [BOTTOM, *self._boards[bay]]

    def bay_of(self, shelf: str) -> int | None:
        """Number of the bay in which a shelf is."""
        return next((n for n, boxes in self._boards.items() if shelf in boxes), None)

    def above(self, bay: int, on: str) -> Box:
        """The clear room above a surface of a bay, up to the next shelf."""
        clear, boxes = self.bays[bay - 1].clear, self._boards[bay]
        floor = clear.lo[2] if on == BOTTOM else boxes[on].hi[2]
        over = [box.lo[2] for box in boxes.values() if box.lo[2] >= floor]
        (x0, y0, _), (x1, y1, z1) = clear.lo, clear.hi
        return Box((x0, y0, floor), (x1, y1, min([z1, *over])))

    def find(self, what: str, bay: int, on: str) -> Box:
        """As `above`. Raises BuildError for a bay or surface that is not there."""
        if bay > len(self.bays):
            raise BuildError(
                f"{what} is meant for bay {bay}, and the case has {len(self.bays)}; "
                "name one of those, counted from the left."
            )
        if on not in self.names(bay):
            raise BuildError(
                f"{what} is to stand on {on!r} in bay {bay}, where there is: "
                f"{', '.join(self.names(bay))}; name one of those."
            )
        return self.above(bay, on)
