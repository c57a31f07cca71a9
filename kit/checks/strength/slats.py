"""Is a slatted door floppy? A strip model of one land under a push at mid-span.

A land between two slots is a beam of the length L of the slots. Its ends sit in the frame of the
door, which is held by its outer edge in the groove, f away, and turns there as a bar in torsion
(G J) on which the other lands lie like an even bed k' = 2 E I / (L pitch):

    K = 2 √(G J k')                                      turning stiffness under one land
    turn = (P L² / 16 + P f L / 4) / (E I + K L / 2)
    M = K turn - P f / 2                                 moment at the ends of the land
    d = f turn + P L³ / (48 E I) - M L² / (8 E I)

Between free ends (K = 0) and clamped ones (K infinite, f = 0: P L³ / 192 E I). Range: slots with
the length of the door, four lands or more, frame no deeper than a third of the slots, small
deflection. Checked in the tests against plate finite elements.
"""

from collections.abc import Iterator
from math import sqrt

from kit.board import Board
from kit.casework import Casework
from kit.checks.strength.layup import board_modulus, shear_modulus
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
    slot_mm: float,
    land_mm: float,
    pitch_mm: float,
    frame_mm: float,
    thickness_mm: float,
    e_mpa: float,
    g_mpa: float,
) -> float:
    """Deflection of a land under a push in its middle, mm; the model at the head of this file.

    `slot_mm` is the length of the slots, `frame_mm` the wood from their ends to the groove.
    """
    length, f = slot_mm, frame_mm
    ei = e_mpa * land_mm * thickness_mm**3 / 12
    torsion = g_mpa * f * thickness_mm**3 / 3
    turning = 2 * sqrt(torsion * 2 * ei / (length * pitch_mm))
    turn = (push_n * length**2 / 16 + push_n * f * length / 4) / (ei + turning * length / 2)
    moment = turning * turn - push_n * f / 2
    return f * turn + push_n * length**3 / (48 * ei) - moment * length**2 / (8 * ei)


def land_deflection_mm(board: Board, field: SlotField, push_n: float = PUSH_N) -> float:
    """Deflection of a land of a slatted door under a push at mid-span, mm."""
    return strip_mm(
        push_n,
        slot_mm=field.slot_length,
        land_mm=field.land,
        pitch_mm=field.pitch,
        frame_mm=(board.length - field.slot_length) / 2,
        thickness_mm=board.thickness,
        e_mpa=board_modulus(board, board.place.along.axis).typical_mpa,
        g_mpa=shear_modulus(board.stock.key),
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
        assumes="held in its grooves, free to turn there; shear modulus at the low end",
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
