"""Does every device fit its space, with the room it wants and its plug behind it?"""

from collections.abc import Iterator

from kit.casework import Casework
from kit.components.contents import Placed
from kit.finding import Finding, Sense, judge


def check_fit(casework: Casework) -> Iterator[Finding]:
    """Width, height and depth of each device, and the free space that its kind asks for."""
    for placed in casework.gear:
        yield from _body(casework, placed)
        yield from _clearance(casework, placed)


def _assumes(placed: Placed) -> str:
    if placed.measured:
        return "sizes as given in the design"
    return f"typical sizes ({placed.kind.label}); measure yours before cutting"


def _source(placed: Placed) -> str:
    return "design-file" if placed.measured else placed.kind.size_source[0]


def _body(casework: Casework, placed: Placed) -> Iterator[Finding]:
    name, space, body = placed.item.name, placed.space, placed.body
    where = placed.where
    others = f" beside {placed.sharing - 1} more" if placed.sharing > 1 else ""
    antenna = placed.kind.antenna_up_mm
    knobs = placed.kind.knob_mm or 0.0
    plug = placed.plug.depth_mm or 0.0
    say = casework.say
    behind = casework.design.room.wall_gap if placed.bay is None or placed.bay.open_back else 0.0
    into = " and the gap to the wall" if behind else ""
    rows = (
        (
            "fits in width",
            space.size[0],
            placed.row_width,
            f"{name}{others} takes {say(placed.row_width)} of the {say(space.size[0])} "
            f"between the boards ({where}).",
        ),
        (
            "fits in height",
            space.size[2],
            body.size[2] + (antenna or 0.0),
            f"{name} is {say(body.size[2])} high"
            + (f", {say(body.size[2] + antenna)} with its antennas up," if antenna else "")
            + f" and has {say(space.size[2])} ({where}).",
        ),
        (
            "fits in depth",
            space.size[1] + behind,
            knobs + body.size[1] + plug,
            f"{name} takes "
            + (f"{say(knobs)} of knobs, " if knobs else "")
            + f"{say(body.size[1])} of body and {say(plug)} of plug and bend "
            f"({placed.plug.label}); the bay{into} gives {say(space.size[1] + behind)}.",
        ),
    )
    for check, room, wanted, why in rows:
        yield judge(
            check,
            name,
            room,
            wanted,
            sense=Sense.AT_LEAST,
            unit="mm",
            watch=6.0,
            why=why,
            assumes=_assumes(placed),
            source=_source(placed),
        )


def _clearance(casework: Casework, placed: Placed) -> Iterator[Finding]:
    gap = (placed.space.size[0] - placed.row_width) / (placed.sharing + 1)
    say = casework.say
    above = placed.space.hi[2] - placed.body.hi[2]
    for check, free, wanted, where in (
        ("free at the sides", gap, placed.kind.clear_side_mm, "at each side of"),
        ("free above", above, placed.kind.clear_top_mm, "above"),
    ):
        if placed.kind.plate_w == 0 and free >= 0:
            continue
        if wanted is None and free < 0:  # it does not even fit
            wanted = 0.0
        why = f"{say(free)} stay {where} {placed.item.name}"
        why += (
            f"; it wants {say(wanted)}."
            if wanted is not None
            else "; what it wants is not known: look in its manual."
        )
        yield judge(
            check,
            placed.item.name,
            free,
            wanted,
            sense=Sense.AT_LEAST,
            unit="mm",
            why=why,
            assumes="the manual asks for no more",
            source=placed.kind.clear_source[0] if placed.kind.clear_source else "memory",
        )
