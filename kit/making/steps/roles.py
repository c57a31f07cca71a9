"""Who is who among the boards of a design: the part that each plays in the assembly."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from kit.board import Board
from kit.casework import Casework
from kit.components.back import Method
from kit.components.made import Fastening
from kit.components.shelf import Held


@dataclass(frozen=True)
class Roles:
    """The boards of a design in groups that are put together at one time; each in one group."""

    casework: Casework

    @cached_property
    def case(self) -> tuple[Board, ...]:
        """Top, bottom and sides."""
        return self._named(board.name for board in self.casework.frame.boards)

    @cached_property
    def dividers(self) -> tuple[Board, ...]:
        """The dividers, from the left."""
        return self._named(f"divider-{n + 1}" for n in range(len(self.casework.design.dividers)))

    @cached_property
    def fixed(self) -> tuple[Board, ...]:
        """Shelves held in dadoes."""
        return self._shelves(Held.FIXED)

    @cached_property
    def loose(self) -> tuple[Board, ...]:
        """Shelves on pins."""
        return self._shelves(Held.PINS)

    def lippings(self, shelves: Sequence[Board]) -> tuple[Board, ...]:
        """The lippings of these shelves."""
        names = [f"{shelf.name}-lipping" for shelf in shelves]
        return tuple(board for board in self.casework.boards if board.name in names)

    @cached_property
    def doors(self) -> tuple[Board, ...]:
        """The doors, from the left."""
        hung = self.casework.doors
        return self._named(door.board.name for door in hung.doors) if hung else ()

    @cached_property
    def backs(self) -> tuple[Board, ...]:
        """The back panels."""
        back = self.casework.design.back
        return self._named(f"back-{n + 1}" for n in range(len(back.panels))) if back else ()

    @cached_property
    def early_backs(self) -> tuple[Board, ...]:
        """Panels that go in as the case is glued up."""
        back = self.casework.design.back
        return self.backs if back is not None and back.method is Method.LET_IN else ()

    @cached_property
    def late_backs(self) -> tuple[Board, ...]:
        """Panels that go on after glue-up."""
        return () if self.early_backs else self.backs

    @cached_property
    def glued_up(self) -> tuple[Board, ...]:
        """What is put together in one go."""
        return (*self.case, *self.dividers, *self.fixed, *self.early_backs)

    @cached_property
    def base(self) -> tuple[Board, ...]:
        """What the case stands on."""
        shelves = (*self.fixed, *self.loose)
        above = (*self.case, *self.dividers, *shelves, *self.lippings(shelves))
        others = {board.name for board in (*above, *self.doors, *self.backs, *self.added)}
        return tuple(board for board in self.casework.boards if board.name not in others)

    @cached_property
    def added(self) -> tuple[Board, ...]:
        """What a maker added to the built piece: where it goes the kit does not know."""
        return self._named(self.casework.added)

    def fastenings(self, boards: Iterable[Board]) -> tuple[Fastening, ...]:
        """The fastenings by which these boards are held to others."""
        names = {board.name for board in boards}
        return tuple(f for f in self.casework.fastenings if f.board in names)

    def _shelves(self, held: Held) -> tuple[Board, ...]:
        shelves = enumerate(self.casework.design.shelves, start=1)
        return self._named(f"shelf-{n}" for n, shelf in shelves if shelf.held is held)

    def _named(self, names: Iterable[str]) -> tuple[Board, ...]:
        return tuple(self.casework.by_name[name] for name in names)
