"""The slot field: equal slots side by side, as in a slatted door or a vent."""

from collections.abc import Iterator
from dataclasses import dataclass

from kit.board import Board, Feature, Operation, Problem, SetUp, Surface
from kit.geometry import Slot
from kit.units import Say, System, decimal

#: Least wood between two slots and least frame round the field, mm. From memory.
LEAST_LAND = 6.0
LEAST_FRAME = 19.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotField(Feature):
    """`count` slots with round ends, right through, `pitch` mm apart.

    The first is centred at `at` (x, y); slots are `slot_length` long (overall) along axis
    `along` and `slot_width` wide, the diameter of the cutter.
    """

    at: tuple[float, float]
    slot_length: float
    slot_width: float
    pitch: float
    count: int
    along: int = 0
    surface: Surface = Surface.FACE_A

    @property
    def land(self) -> float:
        """Wood between two slots, mm."""
        return self.pitch - self.slot_width

    @property
    def open_mm2(self) -> float:
        """Open area seen square on, mm2."""
        return self.count * self._slot(0, 1.0).area_mm2

    @property
    def hole_count(self) -> int:
        """How many there are."""
        return self.count

    def _slot(self, index: int, thickness: float) -> Slot:
        centre = list(self.at)
        centre[1 - self.along] += index * self.pitch
        return Slot(
            (centre[0], centre[1]), self.slot_length, self.slot_width, self.along, 0.0, thickness
        )

    def _reach(self) -> tuple[float, float]:
        middle = self.at[self.along]
        return (middle - self.slot_length / 2, middle + self.slot_length / 2)

    def cutters(self, board: Board) -> tuple[Slot, ...]:
        """One slot each, disjoint."""
        return tuple(self._slot(i, board.thickness) for i in range(self.count))

    def callout(self, board: Board, system: System) -> str:
        """Count x length x width, and the pitch."""
        return (
            f"{self.count}x slot {decimal(self.slot_length, system)} x "
            f"{decimal(self.slot_width, system)}, {decimal(self.pitch, system)} apart"
        )

    def set_ups(self, board: Board) -> tuple[SetUp, ...]:
        """One setting of the router."""
        return (
            SetUp(
                operation=Operation.SLOT,
                tool="straight bit",
                width=self.slot_width,
                depth=board.thickness,
                fence=self.at[1 - self.along] - self.slot_width / 2,
                against=Surface.EDGE_1 if self.along == 0 else Surface.END_1,
                surface=self.surface,
                stations=self._reach(),
                count=self.count,
                pitch=self.pitch,
                note="back it up; several passes",
            ),
        )

    def problems(self, board: Board, say: Say) -> Iterator[Problem]:
        """Slots that do not fit the board, thin lands, a thin frame."""
        boxes = [self._slot(i, board.thickness).box for i in (0, max(self.count - 1, 0))]
        frame = min(
            *(b.lo[i] for b in boxes for i in (0, 1)),
            *(size - b.hi[i] for b in boxes for i, size in ((0, board.length), (1, board.width))),
        )
        if (
            self.count < 1
            or self.slot_width <= 0
            or self.slot_length < self.slot_width
            or frame <= 0
            or (self.count > 1 and self.land <= 0)
        ):
            yield Problem(
                rule="slot field",
                why=f"{self.count} slots of {say(self.slot_length)} x {say(self.slot_width)}, "
                f"{say(self.pitch)} apart, do not fit a board of "
                f"{say(board.length)} x {say(board.width)}; ask for fewer or smaller ones.",
                measured=frame,
                required=0.0,
                impossible=True,
            )
            return
        for rule, measured, least in (
            ("wood between slots", self.land, LEAST_LAND),
            ("frame round the slots", frame, LEAST_FRAME),
        ):
            if (self.count > 1 or rule.startswith("frame")) and measured < least:
                yield Problem(
                    rule=rule,
                    why=f"{rule}: {say(measured)} is too weak to cut and to handle; "
                    f"leave {say(least)}.",
                    measured=measured,
                    required=least,
                    source="memory",
                )
