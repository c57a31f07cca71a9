"""Is a slatted door floppy? A strip model of one land under a push at mid-span.

A land between two slots is a strip that runs from the top groove to the bottom groove of the
door: as wide as the land beside the slots, wider in the frame above and below, where its
neighbours help. It is held but free to turn in the grooves.

    d = P L³ / (48 E I) for an even strip; here I changes at the ends of the slots

Range: slots with the length of the door, frames of 25 mm and more, small deflection. Checked in
the tests against plate finite elements.
"""

from collections.abc import Iterator

from kit.board import Board
from kit.casework import Casework
from kit.checks.strength.layup import board_modulus
from kit.components.doors import Style
from kit.cutters import CutterKind, cutters
from kit.finding import Finding, Sense, judge
from kit.joinery import SlotField

#: The push of a finger at mid-span, N, and how far a land may give way, mm. From memory.
PUSH_N, FLOPPY_MM = 20.0, 2.0
#: Least wood between two slots as a share of the thickness, for a land that stands the router.
#: From memory.
LAND_SHARE = 0.75
#: What cuts a slot.
ROUTER_BITS = (CutterKind.STRAIGHT_BIT, CutterKind.DOWNCUT_SPIRAL, CutterKind.COMPRESSION_SPIRAL)


def strip_mm(
    push_n: float,
    *,
    height_mm: float,
    slot_mm: float,
    land_mm: float,
    frame_width_mm: float,
    thickness_mm: float,
    e_mpa: float,
) -> float:
    """Deflection of a land under a push in its middle, mm.

    `height_mm` from groove to groove, `slot_mm` the length of the slots, `land_mm` the width of
    the land and `frame_width_mm` the width that helps in the frame. By virtual work: the moment
    is P x / 2, so d = (P / 4 E) ∫ x² / I dx over the half height, times two.
    """
    frame = (height_mm - slot_mm) / 2
    slender, stout = (width * thickness_mm**3 / 12 for width in (land_mm, frame_width_mm))
    half = height_mm / 2
    integral = frame**3 / (3 * stout) + (half**3 - frame**3) / (3 * slender)
    return push_n * integral / (2 * e_mpa)


def helping_width_mm(land_mm: float, frame_mm: float, pitch_mm: float) -> float:
    """Width of the frame that bends with one land: the load spreads at 45 degrees from it.

    Half of that on the way to the groove, but at least the pitch. Checked against plate
    finite elements.
    """
    return max(pitch_mm, land_mm + frame_mm)


def land_deflection_mm(board: Board, field: SlotField, push_n: float = PUSH_N) -> float:
    """Deflection of the weakest land of a slatted door under a push at mid-span, mm."""
    frame = (board.length - field.slot_length) / 2
    e = board_modulus(board, board.place.along.axis).typical_mpa
    return strip_mm(
        push_n,
        height_mm=board.length,
        slot_mm=field.slot_length,
        land_mm=field.land,
        frame_width_mm=helping_width_mm(field.land, frame, field.pitch),
        thickness_mm=board.thickness,
        e_mpa=e,
    )


def check_slats(casework: Casework) -> Iterator[Finding]:
    """Each slatted door: is it floppy, and is there a cutter for its slots?"""
    hung = casework.doors
    if hung is None or hung.spec.style is not Style.SLATTED:
        return
    for door in hung.doors:
        board = casework.by_name[door.board.name]
        for field in board.features:
            if isinstance(field, SlotField):
                yield from _door(casework, board, field)


def _door(casework: Casework, board: Board, field: SlotField) -> Iterator[Finding]:
    say = casework.say
    gives = land_deflection_mm(board, field)
    yield judge(
        "slatted door is stiff",
        board.name,
        gives,
        FLOPPY_MM,
        sense=Sense.AT_MOST,
        unit="mm",
        watch=0.5,
        why=f"A land {say(field.land)} wide gives way {say(gives)} under a push of "
        f"{PUSH_N:.0f} N in its middle; "
        + ("that is floppy: leave wider lands or take " if gives > FLOPPY_MM else "floppy is ")
        + ("thicker stock." if gives > FLOPPY_MM else f"{say(FLOPPY_MM)}."),
        assumes="the door is free to turn in its grooves",
        source="computed",
        boards=(board.name,),
    )
    least = LAND_SHARE * board.thickness
    yield judge(
        "lands stand the router",
        board.name,
        field.land,
        least,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=3.0,
        why=f"{say(field.land)} of wood stands between two slots of a door "
        f"{say(board.thickness)} thick. Cut from the middle of the field outwards, screw or tape "
        "the sheet down between the slots, put waste under it, and take the last pass "
        "shallow, so that no land shakes loose.",
        source="memory",
        boards=(board.name,),
    )
    bits = [row.diameter_mm for row in cutters().values() if row.kind in ROUTER_BITS]
    widest = max((d for d in bits if d <= field.slot_width + 0.05), default=None)
    yield judge(
        "a cutter fits the slots",
        board.name,
        None if widest is None else max(0.0, field.slot_width - widest),
        field.slot_width / 2,
        sense=Sense.AT_MOST,
        unit="mm",
        watch=field.slot_width / 2 - 0.1,
        why=f"The slots are {say(field.slot_width)} wide, and "
        + (
            "the table holds no router bit that goes in."
            if widest is None
            else f"the widest router bit of the table that goes in cuts {say(widest)}."
        )
        + " A slot of the bit's own width is cut in one pass; a wider one takes two, and its "
        "corners get a smaller radius.",
        source="common-practice",
        boards=(board.name,),
    )
