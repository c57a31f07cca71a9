"""The step that screws the fans to their panels."""

from collections.abc import Iterator

from kit.components.fan import Mounted, Moves
from kit.making.buy_list.fans import SCREWS, fan_rows, screw_of
from kit.making.steps.step import MAINS, Phase, Step, step
from kit.making.steps.words import Words

BLADES = "Keep fingers and cables out of a fan that runs; unplug it before you reach in."


def fit_fans(w: Words) -> Iterator[Step]:
    """Every fan that a panel is bored for, before the panels go on; nothing where there is none."""
    mounted = [fan for fan in w.casework.fans if fan.board is not None]
    if not mounted:
        return
    boards = [w.casework.by_name[name] for name in dict.fromkeys(f.board for f in mounted) if name]
    bought = tuple(fan_rows(w.casework))
    yield step(
        Phase.FITTINGS,
        "Screw the fans to their panels",
        [
            *(_line(w, fan) for fan in mounted),
            f"What it takes: {'; '.join(f'{row.label}, {row.need:.0f}' for row in bought)}.",
            "Lead the cable out by a cable hole with the others, and keep it clear of the blades. "
            "The power supply stands where its warm air can leave, and takes a socket of its own.",
            "Run each fan before the panel goes on: a strip of paper shows which way it blows.",
        ],
        boards=boards,
        items=[row.key for row in bought],
        cautions=[BLADES, MAINS],
    )


def _line(w: Words, fan: Mounted) -> str:
    out = fan.spec.moves is Moves.OUT
    way = "away from the bay, out through the panel" if out else "into the bay"
    assert fan.board is not None
    panel = w.casework.by_name[fan.board]
    return (
        f"{fan.spec.name}, {fan.kind.label}: on the inner face of {w.named([panel])}, over its "
        f"opening, its arrow pointing {way}; the guard outside, {SCREWS} x "
        f"{screw_of(w.casework, fan).label} through guard, panel and frame."
    )
