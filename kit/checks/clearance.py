"""The free air round a device, and the room for a hand: what the manual asks, and usual rules.

What the manual of the device asks for decides; the two profiles of usual rules, which
contradict each other, are told beside it.
"""

from collections.abc import Iterator
from enum import Enum
from math import inf, isfinite

from kit.casework import Casework
from kit.checks.depth_stack import DepthStack, Layer
from kit.components.contents import Placed
from kit.finding import Finding, Sense, judge
from kit.gear import Clearance, clearance
from kit.geometry import SAME_MM

#: Room for a hand beside or above a device, mm: half of what 20 in inside leave round gear
#: 17 in wide. Common practice, no source.
HAND = 38.1


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
    if _holds(beside, strict.side_mm or inf) and _holds(above, strict.top_mm or inf):
        return Grade.GENEROUS
    return Grade.HAND if _holds(beside, HAND) else Grade.FITS


def _holds(left: float, wanted: float) -> bool:
    return left >= wanted - SAME_MM


def assumes(placed: Placed) -> str:
    """Where the sizes of a device come from, as said with every finding on them."""
    if placed.margin:
        return (
            "sizes from a retailer, which are off by up to 1 in: that is added to each; "
            "measure before cutting"
        )
    if placed.measured:
        return "sizes as given in the design"
    return f"typical sizes ({placed.kind.label}); measure yours before cutting"


def source_of(placed: Placed) -> str:
    """Key of the source of its sizes."""
    if placed.margin:
        return "builders-accounts"
    return "design-file" if placed.measured else placed.kind.size_source[0]


def check_clearance(casework: Casework, stack: DepthStack, height: float) -> Iterator[Finding]:
    """The free air beside, above and behind one device, and the room for a hand round it.

    `height` is free from what it stands on, mm; infinite under nothing. What makes no heat wants
    no air.
    """
    placed = stack.placed
    if placed.kind.plate_w != 0:
        yield from _air(casework, stack, height)
    yield _hand(casework, placed, height)


def _air(casework: Casework, stack: DepthStack, height: float) -> Iterator[Finding]:
    placed, kind = stack.placed, stack.placed.kind
    free = height if isfinite(height) else placed.space.size[2]
    above = free - placed.body.size[2] - placed.margin
    rows = (
        (
            "free at the sides",
            _beside(placed),
            kind.clear_side_mm,
            "at the narrower side of",
            "move a divider, or put it in a wider bay",
        ),
        ("free above", above, kind.clear_top_mm, "above", "raise the board above it"),
        ("free behind", stack.behind, kind.clear_back_mm, "behind", _rearwards(stack)),
    )
    lax, strict = clearance("lax"), clearance("strict")
    for row in rows:
        yield _clearance(casework, placed, row, (lax, strict))


def _rearwards(stack: DepthStack) -> str:
    """What gives more air behind."""
    placed, front = stack.placed, stack.of(Layer.FRONT) or 0.0
    if stack.behind + front >= (placed.kind.clear_back_mm or 0.0):
        return "set it further forward (gear.set_back)"
    if placed.bay is not None and not placed.bay.open_back:
        return "leave the back of its bay open, with the wall far enough away"
    return "leave more to the wall (room.wall_gap), or make the case deeper"


def _beside(placed: Placed) -> float:
    """Free at the narrower side of a device, mm; a retailer's margin taken off half and half."""
    return min(placed.free_left, placed.free_right) - placed.margin / 2


def _clearance(
    casework: Casework,
    placed: Placed,
    row: tuple[str, float, float | None, str, str],
    profiles: tuple[Clearance, Clearance],
) -> Finding:
    check, left, wanted, where, fix = row
    say, name = casework.say, placed.item.name
    asks = [_profile(profile, check) for profile in profiles]
    verdicts = " and ".join(
        f"{profile.key} ({say(ask)}) {'holds' if _holds(left, ask) else 'fails'}"
        for profile, ask in zip(profiles, asks, strict=True)
    )
    why = f"{say(left)} stay {where} {name}" if left >= 0 else f"{say(-left)} lack {where} {name}"
    if wanted is None:
        why += f"; what it wants is not known: look in its manual. By the usual rules {verdicts}."
        if left < 0:  # it does not even fit
            wanted = 0.0
    else:
        why += f"; it wants {say(wanted)}. By the usual rules {verdicts}."
        if not _holds(left, wanted):
            both = check == "free at the sides"
            short = (2 if both else 1) * (wanted - left)
            why += (
                f" With that {'at both sides' if both else 'air'} it is {say(short)} short: {fix}."
            )
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
    say, room = casework.say, casework.room
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
        why=f"{placed.item.name} ({placed.where}): {found.value}, with {room(beside)} at its "
        f"narrower side" + (f" and {room(above)} above" if isfinite(above) else "") + need,
        assumes=assumes(placed),
        source="common-practice",
    )
