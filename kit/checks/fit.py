"""Does every device fit its space, with the room it wants, its plug behind it and a hand?"""

from collections.abc import Iterator
from enum import Enum
from math import inf, isfinite

from kit.casework import Casework
from kit.checks.around import Obstacle, headroom, neighbours, obstacles, shared_mm3
from kit.checks.clash import TOLERANCE
from kit.checks.depth_stack import DepthStack, Layer, depth_stack
from kit.components.contents import Placed
from kit.finding import Finding, Sense, judge
from kit.gear import Clearance, clearance

#: Room for a hand beside or above a device, mm: half of what 20 in inside leave round gear
#: 17 in wide. Common practice, no source.
HAND = 38.1
#: Below this a size is on the good side and yet too close to call, mm. Common practice, no
#: source: what a bow, a film of finish and a tape may differ.
CLOSE = 6.0


class Grade(Enum):
    """How easily a device goes into its place."""

    SHORT = "does not fit"
    FITS = "fits, with no room for a hand"
    HAND = "a hand fits round it"
    GENEROUS = "generous"


def grade(beside: float, above: float) -> Grade:
    """Grade of a place that leaves so much at the narrower side and above, mm.

    A hand goes in at both sides with `HAND` each; generous is what the strict clearance profile
    leaves at the sides and above. Common practice, no source, but for that profile.
    """
    strict = clearance("strict")
    if min(beside, above) < 0:
        return Grade.SHORT
    if beside >= (strict.side_mm or inf) and above >= (strict.top_mm or inf):
        return Grade.GENEROUS
    return Grade.HAND if beside >= HAND else Grade.FITS


def check_fit(casework: Casework) -> Iterator[Finding]:
    """Width, height, depth and clear air of each device, and that nothing stands in it."""
    around = obstacles(casework)
    for placed in casework.gear:
        height, over = _height(placed, around)
        stack = depth_stack(casework, placed)
        yield _width(casework, placed)
        yield from _heights(casework, placed, height, over)
        yield _depth(casework, stack)
        yield from _clearances(casework, placed, stack, height)
        yield _hand(casework, placed, height)
        yield _apart(casework, placed, around)


def _assumes(placed: Placed) -> str:
    if placed.margin:
        return (
            "sizes from a retailer, which are off by up to 1 in: that is added to each; "
            "measure before cutting"
        )
    if placed.measured:
        return "sizes as given in the design"
    return f"typical sizes ({placed.kind.label}); measure yours before cutting"


def _source(placed: Placed) -> str:
    if placed.margin:
        return "builders-accounts"
    return "design-file" if placed.measured else placed.kind.size_source[0]


def _short(casework: Casework, short: float, fix: str) -> str:
    """How much is missing, and what to do; nothing where nothing is missing."""
    return f" It is {casework.say(short)} short: {fix}." if short > 1e-6 else ""


def _width(casework: Casework, placed: Placed) -> Finding:
    name, say = placed.item.name, casework.say
    width = placed.space.size[0]
    row = [p for p in casework.gear if p.space == placed.space]
    wanted = placed.row_width + sum(p.margin for p in row)
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
        watch=CLOSE,
        why=f"{name}{others} takes {say(wanted)} of the {say(width)} between {sides} "
        f"({placed.where})." + _short(casework, wanted - width, fix),
        assumes=_assumes(placed),
        source=_source(placed),
    )


def _height(placed: Placed, around: tuple[Obstacle, ...]) -> tuple[float, str]:
    """Free height from what the device stands on, and what ends it."""
    free, over = headroom(placed.body, around)
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
    why = f"{name} is {say(body)} high{up} and has {room} ({placed.where})."
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
    if wanted is not None:
        why += _short(casework, wanted - free, fix)
    yield judge(
        "fits in height",
        name,
        free,
        wanted,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=CLOSE,
        why=why,
        assumes=_assumes(placed),
        source=_source(placed),
    )


def _depth(casework: Casework, stack: DepthStack) -> Finding:
    placed, say = stack.placed, casework.say
    name, knobs, plug = placed.item.name, placed.kind.knob_mm, placed.plug
    unknown = [
        words
        for value, words in (
            (knobs, "how far its knobs stand out (gear.knobs)"),
            (plug.depth_mm, f"how thick the cable of its {plug.label} is"),
        )
        if value is None
    ]
    #: Where it stands counts too: what it wants behind it must be there.
    set_back = stack.of(Layer.FRONT) or 0.0
    wanted = stack.wanted
    if wanted is not None and placed.item.set_back is not None:
        wanted += set_back
    least = (knobs or 0.0) + placed.body.size[1] + plug.plug_length_mm + stack.margin
    if wanted is None and least > stack.room:
        wanted = least
    parts = ([f"{say(knobs)} of knobs"] if knobs else []) + [
        f"{say(placed.body.size[1] + stack.margin)} of body"
    ]
    if plug.depth_mm is not None:
        parts.append(f"{say(plug.depth_mm)} of plug and bend ({plug.label})")
    why = f"{name} takes {', '.join(parts)}; up to {stack.ends_at} there are {say(stack.room)}."
    if unknown:
        why += f" Not known: {' and '.join(unknown)}; measure it."
    if wanted is not None:
        fix = "make the case deeper, use a right-angle plug"
        if placed.bay is not None and not placed.bay.open_back:
            fix += ", or leave the back of the bay open"
        why += _short(casework, wanted - stack.room, fix)
    return judge(
        "fits in depth",
        name,
        stack.room,
        wanted,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=CLOSE,
        why=why,
        assumes=_assumes(placed),
        source=_source(placed),
    )


def _clearances(
    casework: Casework, placed: Placed, stack: DepthStack, height: float
) -> Iterator[Finding]:
    if placed.kind.plate_w == 0:  # it makes no heat
        return
    kind = placed.kind
    free = height if isfinite(height) else placed.space.size[2]
    rows = (
        ("free at the sides", _beside(placed), kind.clear_side_mm, "at the narrower side of"),
        ("free above", free - placed.body.size[2] - placed.margin, kind.clear_top_mm, "above"),
        ("free behind", stack.behind, kind.clear_back_mm, "behind"),
    )
    lax, strict = clearance("lax"), clearance("strict")
    for check, left, wanted, where in rows:
        yield _clearance(casework, placed, (check, left, wanted, where), (lax, strict))


def _beside(placed: Placed) -> float:
    """Free at the narrower side of a device, mm; a retailer's margin taken off half and half."""
    return min(placed.free_left, placed.free_right) - placed.margin / 2


def _clearance(
    casework: Casework,
    placed: Placed,
    row: tuple[str, float, float | None, str],
    profiles: tuple[Clearance, Clearance],
) -> Finding:
    check, left, wanted, where = row
    say, name = casework.say, placed.item.name
    asks = [_profile(profile, check) for profile in profiles]
    verdicts = " and ".join(
        f"{profile.key} ({say(ask)}) {'holds' if left >= ask - 1e-6 else 'fails'}"
        for profile, ask in zip(profiles, asks, strict=True)
    )
    why = f"{say(left)} stay {where} {name}"
    if wanted is None:
        why += f"; what it wants is not known: look in its manual. By the usual rules {verdicts}."
        if left < 0:  # it does not even fit
            wanted = 0.0
    else:
        why += f"; it wants {say(wanted)}. By the usual rules {verdicts}."
        if left < wanted - 1e-6:
            twice = 2 * (wanted - left) if check == "free at the sides" else wanted - left
            why += f" With that air round it the place is {say(twice)} short."
    return judge(
        check,
        name,
        left,
        wanted,
        sense=Sense.AT_LEAST,
        unit="mm",
        why=why,
        assumes="the manual asks for no more; "
        + "; ".join(f"{profile.key}: {profile.label}" for profile in profiles),
        source=placed.kind.clear_source[0] if placed.kind.clear_source else "memory",
    )


def _profile(profile: Clearance, check: str) -> float:
    """What a profile asks for, mm."""
    asks = {
        "free at the sides": profile.side_mm,
        "free above": profile.top_mm,
        "free behind": profile.back_mm,
    }
    return asks[check] or 0.0


def _hand(casework: Casework, placed: Placed, height: float) -> Finding:
    beside = _beside(placed)
    above = height - placed.body.size[2] - placed.margin
    found = grade(beside, above)
    say = casework.say
    need = (
        f"; a hand wants {say(HAND)} at each side." if found in (Grade.FITS, Grade.SHORT) else "."
    )
    return judge(
        "room for a hand",
        placed.item.name,
        min(beside, above) if above < 0 else beside,
        0.0,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=HAND,
        why=f"{placed.item.name} ({placed.where}): {found.value}, with {say(beside)} at its "
        f"narrower side" + (f" and {say(above)} above" if isfinite(above) else "") + need,
        assumes=_assumes(placed),
        source="common-practice",
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
        assumes=_assumes(placed),
        source=_source(placed),
        boards=tuple(dict.fromkeys(o for _, o, _ in hits if o in casework.by_name)),
    )
