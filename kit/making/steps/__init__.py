"""The steps: a numbered order of work, derived from the design.

Laminations come first and are trimmed; what is cut to fit stays rough until the dry-fitted or
glued case has been measured; door tracks are cut before assembly; the inside is finished before
glue-up where the back goes on late. The case stands level before anything is cut to it, and is
carried in, anchored and only then filled. A design gets only the steps that it needs.
"""

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import replace

from kit.casework import Casework
from kit.making.steps import assembly, cables, fans, placing, wood
from kit.making.steps.roles import Roles
from kit.making.steps.step import INSTALLING, Phase, Step
from kit.making.steps.words import Words
from kit.units import System

__all__ = ["INSTALLING", "Phase", "Step", "printed", "steps", "to_text"]


#: What the marks of the boards mean, on every page of the pack.
LEGEND = (
    "Marks: face A is the show face, face B the other; edges 1 and 2 run with the length, ends "
    "1 and 2 across it. Every measure on a board is taken from end 1 and edge 1; its label says "
    "where they are in the piece."
)


def steps(casework: Casework, system: System | None = None) -> tuple[Step, ...]:
    """The order of work of a design; lengths in `system`, else in that of the design.

    Raises TableError where the finish of the design is not in the tables.
    """
    words = Words(casework, system or casework.design.shop.units)
    order = _order(words, Roles(casework))
    return tuple(replace(step, number=number) for number, step in enumerate(order, start=1))


def _order(w: Words, roles: Roles) -> Iterator[Step]:
    whole = tuple(board for board in w.casework.boards if board.fit is None)
    yield wood.measure_sheets(w)
    yield wood.break_down(w)
    yield from wood.laminate(w)
    yield wood.final_cuts(w, whole)
    yield from wood.edge(w, whole)
    yield from wood.machine(w, whole, "the case and the base" if roles.base else "the case")
    yield wood.dry_fit(w, roles.case, "Dry-fit the case")
    if roles.dividers:
        yield from wood.fit(w, roles.dividers, "the dividers", "the dry-fitted case")
        standing = (*roles.case, *roles.dividers)
        yield wood.dry_fit(w, standing, "Dry-fit the case with its dividers")
    housed = (*roles.fixed, *roles.lippings(roles.fixed), *roles.early_backs)
    if housed:
        yield from wood.fit(w, housed, "what is housed in the case", "the dry-fitted case")
        yield wood.dry_fit(w, roles.glued_up, "Dry-fit everything that is glued up")
    yield from assembly.lip(w, roles, roles.fixed)
    yield assembly.sand_inside(roles)
    yield assembly.finish_inside(w, roles)
    yield from assembly.place_added(w, roles)
    yield assembly.glue_up(w, roles)
    yield from assembly.build_base(w, roles)
    yield from placing.stand_level(w, roles)
    late = (*roles.doors, *roles.late_backs, *roles.loose, *roles.lippings(roles.loose))
    if late:
        yield from wood.fit(w, late, "what goes in last", "the glued case")
    yield from assembly.lip(w, roles, roles.loose)
    yield assembly.finish_all(w, roles)
    yield from assembly.press_liners(w)
    yield from fans.fit_fans(w)
    yield from assembly.put_backs(w, roles)
    yield placing.carry_in(w, roles)
    yield placing.anchor(w)
    yield from assembly.put_shelves(w, roles)
    yield from cables.lay_cables(w)
    yield from assembly.hang_doors(w, roles)
    yield from placing.set_screen(w)


def printed(rows: Sequence[Step]) -> list[dict[str, str]]:
    """The steps as rows of text."""
    return [
        {
            "no": str(step.number),
            "step": step.title,
            "gate": "do not go on until this is right" if step.gate else "",
            "what": "\n".join(step.lines),
            "boards": ", ".join(step.boards),
            "settings": ", ".join(map(str, step.settings)),
            "cautions": "\n".join(step.cautions),
        }
        for step in rows
    ]


def to_text(rows: Sequence[Step], title: str = "") -> str:
    """The steps as plain text to be printed, wrapped at 92 columns, the marks explained first."""
    blocks = [*([title] if title else []), _wrapped(LEGEND, "")]
    for step in rows:
        gate = "  [gate: do not go on until this is right]" if step.gate else ""
        lines = [f"{step.number}. {step.title}{gate}"]
        lines += [_wrapped(line, "   - ") for line in step.lines]
        lines += [_wrapped(f"Caution: {caution}", "   ! ") for caution in step.cautions]
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks) + "\n"


def _wrapped(line: str, lead: str) -> str:
    return textwrap.fill(
        line,
        92,
        initial_indent=lead,
        subsequent_indent=" " * len(lead),
        break_long_words=False,
        break_on_hyphens=False,
    )
