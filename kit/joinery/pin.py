"""The cross pin: a rod driven through the tongue of a rabbet into the end of its mate."""

from dataclasses import replace

from kit.board import Board, Surface
from kit.errors import BuildError
from kit.joinery.hole import HoleRow, Purpose


def cross_pins(
    tongue: Board, mate: Board, *, diameter: float, depth: float, stations: tuple[float, float, int]
) -> tuple[HoleRow, HoleRow]:
    """The two rows of holes of a pinned rabbet: in the tongue, and in the end of the mate.

    `tongue` is the rabbeted board and `mate` the board whose end sits in it, both in place.
    `stations` are (first, pitch, count): mm from edge 1 of either board. Rods go in square to
    the tongue, on the middle of the mate's thickness, `depth` mm into its end.

    Raises BuildError where the mate does not end in the tongue board.
    """
    first, pitch, count = stations
    common = tongue.blank.common(tongue.place.box_to_board(mate.box))
    if common is None:
        raise BuildError(f"{mate.name} does not end in {tongue.name}; no pin can join them.")
    in_tongue = HoleRow(
        surface=Surface.FACE_A if common.lo[2] <= 0 else Surface.FACE_B,
        at=(common.centre[0], first),
        pitch=pitch,
        count=count,
        along=1,
        diameter=diameter,
        depth=tongue.thickness - common.size[2],
        purpose=Purpose.CROSS_PIN,
    )
    starts_in_tongue = mate.place.box_to_board(tongue.box).lo[0] < 0
    in_end = replace(
        in_tongue,
        surface=Surface.END_1 if starts_in_tongue else Surface.END_2,
        at=(first, mate.thickness / 2),
        depth=depth,
    )
    return in_tongue, in_end
