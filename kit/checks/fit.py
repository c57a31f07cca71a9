"""Does every device fit its space, with the room it wants, its plug behind it and a hand?"""

from collections.abc import Iterator
from math import isfinite

from kit.casework import Casework
from kit.checks.around import Obstacle, headroom, neighbours, obstacles, shared_mm3
from kit.checks.clash import TOLERANCE
from kit.checks.clearance import assumes, check_clearance, source_of
from kit.checks.depth_stack import DepthStack, Layer, depth_stack
from kit.components.contents import Placed
from kit.finding import Finding, Sense, judge
from kit.geometry import Box

#: The feet of a device stand at most so far in from its edges, mm. From memory.
FEET_IN = 30.0
#: Below this a size is on the good side and yet too close to call, mm. Common practice, no
#: source: what a bow, a film of finish and a tape may differ.
CLOSE = 6.0


def check_fit(casework: Casework) -> Iterator[Finding]:
    """Width, height, depth and clear air of each device, and that nothing stands in it."""
    around = obstacles(casework)
    for placed in casework.gear:
        height, over = _height(placed, around)
        stack = depth_stack(casework, placed)
        yield _width(casework, placed)
        yield from _heights(casework, placed, height, over)
        yield _depth(casework, stack)
        yield from _gap(casework, stack)
        yield from check_clearance(casework, stack, height)
        yield _apart(casework, placed, around)
        yield from _footing(casework, placed)


def _short(casework: Casework, short: float, fix: str) -> str:
    """How much is missing, and what to do; nothing where nothing is missing."""
    return f" It is {casework.say(short)} short: {fix}." if short > 1e-6 else ""


def _with_margin(casework: Casework, row: list[Placed]) -> str:
    """That retailers' figures are made larger, in brackets; nothing where there are none."""
    margin = sum(placed.margin for placed in row)
    return f" ({casework.say(margin)} of it added to a retailer's figure)" if margin else ""


def _largest(casework: Casework, room: float, wanted: float, spread: float) -> str:
    """Said where a device of typical size fits and the largest of its kind would not."""
    if not wanted <= room < wanted + spread:
        return ""
    return (
        f" The largest of its kind would want {casework.say(wanted + spread)}: measure yours "
        "before cutting."
    )


def _width(casework: Casework, placed: Placed) -> Finding:
    name, say = placed.item.name, casework.say
    width = placed.space.size[0]
    row = [p for p in casework.gear if p.space == placed.space]
    wanted = placed.row_width + sum(p.margin for p in row)
    spread = sum(p.kind.width_max_mm - p.kind.width_mm for p in row)
    others = f" beside {placed.sharing - 1} more" if placed.sharing > 1 else ""
    sides = (
        "the ends of the top"
        if placed.bay is None
        else (f"{placed.bay.left.name} and {placed.bay.right.name}")
    )
    fix = "move a divider, or put it in a wider bay"
    if placed.sharing > 1:
        fix += ", or give a neighbour another place"
    return judge(
        "fits in width",
        name,
        width,
        wanted,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=max(CLOSE, spread),
        why=f"{name}{others} takes {say(wanted)}{_with_margin(casework, row)} of the {say(width)} "
        f"between {sides} ({placed.where})."
        + _short(casework, wanted - width, fix)
        + _largest(casework, width, wanted, spread),
        assumes=assumes(placed),
        source=source_of(placed),
    )


def _height(placed: Placed, around: tuple[Obstacle, ...]) -> tuple[float, str]:
    """Free height from what the device stands on, and what ends it."""
    body, space = placed.body, placed.space
    # what it runs into at its sides, where it is too wide or too deep, is not over it
    within = body.common(space) if placed.bay is not None else None
    lo, hi = (within or body).lo, (within or body).hi
    free, over = headroom(Box((lo[0], lo[1], body.lo[2]), (hi[0], hi[1], body.hi[2])), around)
    if placed.bay is not None and placed.space.size[2] <= free:
        return (placed.space.size[2], over or "the board above")
    return (free, over)


def _heights(casework: Casework, placed: Placed, height: float, over: str) -> Iterator[Finding]:
    name, say = placed.item.name, casework.say
    body = placed.body.size[2] + placed.margin
    antenna = placed.kind.antenna_up_mm
    room = f"{say(height)} under {over}" if isfinite(height) else "nothing above it"
    free = height if isfinite(height) else placed.space.size[2]
    fix = "raise the shelf above, or stand it elsewhere"
    up = "" if not antenna else f", {say(body + antenna)} with its antennas up,"
    added = _with_margin(casework, [placed])
    why = f"{name} is {say(body)} high{added}{up} and has {room} ({placed.where})."
    wanted: float | None = body
    if antenna is None:
        wanted = None if free >= body else body
        why += " How far its antennas rise in use is not known: measure it (gear.antenna_up)."
    elif antenna:
        wanted = body + antenna
        if free < wanted:
            passes = "would pass" if free >= body else "would fail too"
            why += f" In use it fails; with its antennas folded it {passes}."
            if free >= body:
                fix += ", or keep the antennas folded (gear.antennas_folded)"
    spread = placed.kind.height_max_mm - placed.kind.height_mm
    if wanted is not None:
        why += _short(casework, wanted - free, fix) + _largest(casework, free, wanted, spread)
    yield judge(
        "fits in height",
        name,
        free,
        wanted,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=max(CLOSE, spread),
        why=why,
        assumes=assumes(placed),
        source=source_of(placed),
    )


def _depth(casework: Casework, stack: DepthStack) -> Finding:
    placed, say = stack.placed, casework.say
    name, knobs, plug = placed.item.name, placed.kind.knob_mm, placed.plug
    unknown = [
        words
        for value, words in (
            (knobs, "how far its knobs stand out (gear.knobs)"),
            (
                plug.depth_mm,
                f"how thick the cable of its {plug.label} is{_said_at(casework, placed)}",
            ),
        )
        if value is None
    ]
    #: Where it stands counts too: what it wants behind it must be there.
    set_back = stack.of(Layer.FRONT) or 0.0
    wanted = stack.wanted
    if wanted is not None and placed.item.set_back is not None:
        wanted += set_back
    spread = placed.kind.depth_max_mm - placed.kind.depth_mm
    least = (knobs or 0.0) + placed.body.size[1] + plug.plug_length_mm + stack.margin
    if wanted is None and least > stack.room:
        wanted = least
    parts = ([f"{say(knobs)} of knobs"] if knobs else []) + [
        f"{say(placed.body.size[1] + stack.margin)} of body{_with_margin(casework, [placed])}"
    ]
    if plug.depth_mm is not None:
        parts.append(f"{say(plug.depth_mm)} of plug and bend ({plug.label})")
    why = f"{name} takes {', '.join(parts)}; up to {stack.ends_at} there are {say(stack.room)}."
    if unknown:
        why += f" Not known: {' and '.join(unknown)}; measure it."
    if wanted is not None:
        row = casework.gear.index(placed) + 1
        fix = f"make the case deeper, use a right-angle plug (gear.{row}.plugs, and its cable)"
        if placed.bay is not None and not placed.bay.open_back:
            fix += ", or leave the back of the bay open"
        why += _short(casework, wanted - stack.room, fix)
        why += _largest(casework, stack.room, wanted, spread)
    return judge(
        "fits in depth",
        name,
        stack.room,
        wanted,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=max(CLOSE, spread),
        why=why,
        assumes=assumes(placed),
        source=source_of(placed),
    )


def _said_at(casework: Casework, placed: Placed) -> str:
    """Where the design says how thick the cable of its deepest plug is; empty without a cable."""
    name, plug = placed.item.name, placed.plug
    for row, run in enumerate(casework.design.cables, 1):
        if name in (run.start, run.end) and plug in run.plugs:
            return f" (cable.{row}.diameter)"
    return ""


def _gap(casework: Casework, stack: DepthStack) -> Iterator[Finding]:
    """What stands out of the wall behind the back panel of a device, in the gap there."""
    taken = next((r for r in stack.rows if r.layer in (Layer.BASEBOARD, Layer.WALL_PLUG)), None)
    left = stack.of(Layer.GAP)
    if taken is None or left is None or stack.of(Layer.OPEN) is not None:
        return
    gap, say = left + (taken.size or 0.0), casework.say
    label = taken.note or taken.layer.value
    yield judge(
        "fits before the wall",
        f"{stack.ends_at} behind {stack.placed.item.name}",
        gap,
        taken.size,
        sense=Sense.AT_LEAST,
        unit="mm",
        why=f"Between {stack.ends_at} and the wall there are {say(gap)}, and the {label} "
        + (
            "stands out by an unknown length."
            if taken.size is None
            else f"takes {say(taken.size)}."
        )
        + _short(
            casework,
            (taken.size or 0.0) - gap,
            "set the case further from the wall (room.wall_gap), or use a flat plug",
        ),
        assumes="every outlet and the baseboard are in the design",
        source="common-practice",
        boards=(stack.ends_at,),
    )


def _apart(casework: Casework, placed: Placed, around: tuple[Obstacle, ...]) -> Finding:
    """The body against boards, doors, pins and neighbours; its zones against wood and doors."""
    others = (*around, *neighbours(casework, placed))
    parts = {
        "its body": shared_mm3(placed.body, others),
        "its knobs": shared_mm3(placed.knobs, others),
        "its antennas": shared_mm3(placed.antennas, others),
        "its plugs and their bend": shared_mm3(placed.rear, others),
    }
    hits = [
        (part, name, volume)
        for part, shared in parts.items()
        for name, volume in shared.items()
        if volume > TOLERANCE
    ]
    name = placed.item.name
    words = "; ".join(f"{part} in {other}" for part, other, _ in hits)
    return judge(
        "stands clear",
        name,
        sum(volume for *_, volume in hits),
        TOLERANCE,
        sense=Sense.AT_MOST,
        unit="mm3",
        why=f"Nothing stands in {name}."
        if not hits
        else f"{name} stands in something: {words}. Move it, or give it another place.",
        assumes=assumes(placed),
        source=source_of(placed),
        boards=tuple(dict.fromkeys(o for _, o, _ in hits if o in casework.by_name)),
    )


def _footing(casework: Casework, placed: Placed) -> Iterator[Finding]:
    """Whether the feet of a device stand on its board: on a shelf that stops short, on the top."""
    name, say, on = placed.item.name, casework.say, placed.item.on
    if on is None or on not in casework.by_name:
        return
    parts = [b.box for b in casework.with_strips(on)]
    front, rear = min(b.lo[1] for b in parts), max(b.hi[1] for b in parts)
    lo, hi = placed.body.lo, placed.body.hi
    over = max(0.0, front - lo[1], hi[1] - rear)
    if placed.bay is None:  # in a bay it would stand in an upright
        over = max(over, placed.space.lo[0] - lo[0], hi[0] - placed.space.hi[0])
    elsewhere = (
        "move the device (gear.across, gear.set_back)."
        if placed.bay is None
        else "make the shelf deeper (shelf.rear_gap, shelf.set_back) or move the device."
    )
    yield judge(
        "stands on its board",
        name,
        over,
        FEET_IN,
        sense=Sense.AT_MOST,
        unit="mm",
        why=f"{name} stands on {on} with its whole foot."
        if over == 0
        else f"{name} reaches {say(over)} past {on}; "
        + ("its feet still stand on it." if over <= FEET_IN else elsewhere),
        assumes=f"its feet are within {say(FEET_IN)} of its edges",
        source="memory",
        boards=(on,),
    )
