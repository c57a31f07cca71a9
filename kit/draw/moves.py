"""How far boards and devices move in a picture: the assembly apart, the doors slid open."""

from kit.casework import Casework
from kit.components.doors import open_bays
from kit.geometry import Box, Vec

#: How far apart the middles of boards are moved, by axis of the room: of their distance from
#: the middle of the case.
APART = (1.35, 1.9, 2.4)


def apart(casework: Casework, box: Box) -> Vec:
    """The way of what fills `box` when the assembly is taken apart, mm along the room's axes."""
    middle = casework.frame.clear.centre
    x, y, z = ((k - 1) * (c - m) for k, c, m in zip(APART, box.centre, middle, strict=True))
    return (x, y, z)


def slid_open(casework: Casework) -> dict[str, float]:
    """How far each door slides, mm to the right, by name; empty where there are no doors.

    They come to stand before bays that are open anyway, or all at the right.
    """
    hung = casework.doors
    if hung is None:
        return {}
    open_x = [
        x
        for bay in casework.bays
        if bay.number in open_bays(hung.spec, casework.bays)
        for x in (bay.clear.lo[0], bay.clear.hi[0])
    ]
    ends: dict[int, float] = {}
    slid = {}
    for door in reversed(hung.doors):
        if open_x:
            left = door.shut < open_x[0]
            to = min(open_x) if left else max(open_x) - door.board.width
        else:
            to = ends.get(door.track, door.most)
            ends[door.track] = to - door.board.width
        slid[door.board.name] = min(max(to, door.least), door.most) - door.shut
    return slid
