"""Doors under the sagged top: the top comes down on them, and the bottom may not follow."""

from collections.abc import Iterator

import numpy as np

from kit.casework import Casework
from kit.checks.loads import Carried
from kit.checks.strength.sag import Sags
from kit.finding import Finding, Sense, judge


def closing_mm(casework: Casework, found: Sags) -> float:
    """How much lower the opening of the doors gets after years where it loses most, mm."""
    hung = casework.doors
    if hung is None:
        return 0.0
    doors = [door.board.box.centre[1] for door in hung.doors]
    y = sum(doors) / len(doors)
    top_x, top_z = found.line("top", y)
    low_x, low_z = found.line("bottom", y)
    xs = np.linspace(hung.opening.lo[0], hung.opening.hi[0], 101)
    lost = np.interp(xs, low_x, low_z) - np.interp(xs, top_x, top_z)
    return float(max(0.0, lost.max()))


def check_sagged_doors(casework: Casework, found: Sags, carried: Carried) -> Iterator[Finding]:
    """What the loaded, crept sag leaves of the doors' clearances; nothing without doors."""
    hung = casework.doors
    if hung is None:
        return
    say = casework.say
    lost = closing_mm(casework, found)
    known = not carried.unknown
    names = tuple(door.board.name for door in hung.doors)
    missing = " and ".join(what for _, what in carried.unknown)
    begin = (
        f"After years the opening is {say(lost)} lower where the top sags most"
        + ("" if known else f", without {missing}, whose mass is not known")
        + "; "
    )
    standing = hung.lift + hung.spec.bottom_depth
    for check, clearance, words in (
        ("doors run under the sagged top", standing, "a standing door keeps"),
        ("doors lift out under the sagged top", hung.lift, "a lifted door keeps"),
    ):
        yield judge(
            check,
            "sliding doors",
            clearance - lost if known else None,
            0.5 if clearance == standing else 0.0,
            sense=Sense.AT_LEAST,
            unit="mm",
            watch=0.5,
            why=begin
            + (
                f"{words} {say(clearance - lost)} of its {say(clearance)} above it."
                if clearance >= lost
                else f"{words} nothing above it, and {say(lost - clearance)} lack."
            )
            + " Deepen the top groove, lower the doors, or hold the top up by a divider if that is "
            "too little.",
            assumes="wood at the humidity of the day it was fitted",
            source="wood-handbook-9",
            boards=("top", *names),
        )
