"""Levers that are more than one value: moves, and parts, holes and fans that are added."""

import tomllib
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from kit.cabling import Service, cables
from kit.components.cables import OUTLET
from kit.components.spaces import BOTTOM, TOP
from kit.design_file import rewrite
from kit.edits import (
    Part,
    add_bay,
    add_fan,
    add_part,
    add_sheet,
    close_bay,
    even_bays,
    has_part,
)
from kit.edits.draft import Changes, Draft
from kit.edits.references import with_references
from kit.finding import Finding
from kit.fixes.knob import Knob, Setting
from kit.fixes.levers import Edit
from kit.fixes.scope import Scope
from kit.routes import new_holes, routes, zones_of
from kit.toml_text import Value
from kit.units import Step, exact, length, text

type Make = Callable[[Draft, Scope, Finding], Iterator[Setting]]

#: A cable hole, and a hole that is bored for air, mm. The liner of the tables and the builders'
#: usual hole saw.
HOLE_MM = 60.0
#: From the rim of such a hole to the boards round a bay, mm.
FREE_MM = 15.0
#: Keys of the strip that is added, and of its lead to the wall.
STRIP, STRIP_LEAD = "power-strip", "mains-strip"
#: Most vents low and high in one panel.
MOST_VENTS = 4


def edit_knobs(draft: Draft, scope: Scope, finding: Finding, edit: Edit) -> Iterator[Knob]:
    """The knob of an edit on a design; none where it has nothing to do there."""
    settings = list(_MAKES[edit](draft, scope, finding))
    if settings:
        yield Knob(edit.value, settings, ordered=False)


def _changed(words: str, changes: Mapping[str, Value | None]) -> Setting:
    return Setting(words, 1.0, lambda said: rewrite(said, changes))


def _places(draft: Draft) -> Iterator[tuple[int, str]]:
    """Bay and board of every place inside the case."""
    for bay in draft.casework.bays:
        yield bay.number, BOTTOM
        for number, shelf in enumerate(draft.design.shelves, 1):
            if shelf.bay == bay.number:
                yield bay.number, f"shelf-{number}"


def _move_gear(draft: Draft, scope: Scope, finding: Finding) -> Iterator[Setting]:
    for row in scope.rows("gear"):
        placed = draft.casework.gear[row - 1]
        here = placed.bay.number if placed.bay else 0
        said = draft.plain["gear"][row - 1]
        free = {f"gear.{row}.{key}": None for key in ("across", "set_back") if key in said}
        inside = sorted(_places(draft), key=lambda place: abs(place[0] - here))
        for bay, on in inside:
            if (bay, on) != (here, placed.item.on or BOTTOM) or placed.bay is None:
                to: Changes = {f"gear.{row}.bay": bay, f"gear.{row}.on": on}
                yield _changed(f"{placed.item.name} to bay {bay} on {on}", to | free)
        if placed.bay is not None:
            to = {f"gear.{row}.on": TOP}
            free |= {f"gear.{row}.bay": None} if "bay" in said else {}
            yield _changed(f"{placed.item.name} to the top", to | free)


def _move_content(draft: Draft, scope: Scope, finding: Finding) -> Iterator[Setting]:
    for row in scope.rows("content"):
        stored = draft.casework.media[row - 1]
        here = (stored.bay.number, stored.content.on)
        for bay, on in sorted(_places(draft), key=lambda place: abs(place[0] - here[0])):
            if (bay, on) != here:
                to: Changes = {f"content.{row}.bay": bay, f"content.{row}.on": on}
                words = f"content {row} ({stored.kind.label}) to bay {bay} on {on}"
                yield _changed(words, to)


def _add_bay(draft: Draft, scope: Scope, finding: Finding) -> Iterator[Setting]:
    for bay in scope.rows("bay"):
        yield Setting(f"a divider more in bay {bay}", 1.0, lambda said, b=bay: add_bay(said, b))  # type: ignore[misc]


def _even_bays(draft: Draft, scope: Scope, finding: Finding) -> Iterator[Setting]:
    if len(draft.casework.bays) > 1:
        yield Setting("all bays of one width", 1.0, even_bays)


def _open_back(draft: Draft, scope: Scope, finding: Finding) -> Iterator[Setting]:
    back = draft.design.back
    for row in scope.rows("panel"):
        assert back is not None
        bays = sorted(back.panels[row - 1].bays)
        for bay in sorted({bays[0], bays[-1]} & set(scope.rows("bay"))):
            left = [number for number in bays if number != bay]
            if left:
                changes: Changes = {f"back.panels.{row}.bays": left}
                if bay == bays[0]:
                    # holes are told from the first bay
                    first, second = (draft.casework.bays[n - 1].clear.lo[0] for n in bays[:2])
                    for number, hole in enumerate(back.panels[row - 1].holes, 1):
                        across = hole.across - (second - first)
                        path = f"back.panels.{row}.holes.{number}"
                        changes[path if across <= 0 else f"{path}.across"] = (
                            None if across <= 0 else draft.written(across)
                        )
            else:
                changes = {"back" if len(back.panels) == 1 else f"back.panels.{row}": None}
            yield Setting(
                f"the back of bay {bay} left open",
                1.0,
                lambda said, c=changes: with_references(Draft.of(said), c),  # type: ignore[misc]
            )


def _close_back(draft: Draft, scope: Scope, finding: Finding) -> Iterator[Setting]:
    for bay in scope.rows("bay"):
        if draft.casework.bays[bay - 1].open_back:
            yield Setting(
                f"the back of bay {bay} closed",
                1.0,
                lambda said, b=bay: close_bay(said, b),  # type: ignore[misc]
            )


def _add_part(part: Part) -> Make:
    def make(draft: Draft, scope: Scope, finding: Finding) -> Iterator[Setting]:
        if not has_part(draft.design, part):
            yield Setting(f"a {part.value} added", 1.0, lambda said: add_part(said, part))

    return make


def _add_fan(draft: Draft, scope: Scope, finding: Finding) -> Iterator[Setting]:
    for bay in scope.rows("bay"):
        yield Setting(f"a fan in bay {bay}", 1.0, lambda said, b=bay: add_fan(said, b))  # type: ignore[misc]


def _hole(draft: Draft, row: int, at: tuple[float, float]) -> dict[str, Value]:
    """A hole of a panel with its middle here in the room (X and Z), mm."""
    back = draft.design.back
    assert back is not None
    first = draft.casework.bays[min(back.panels[row - 1].bays) - 1].clear
    return {
        "diameter": exact(HOLE_MM),
        "across": draft.written(at[0] - first.lo[0]),
        "up": draft.written(at[1] - first.lo[2]),
    }


def _with_holes(draft: Draft, row: int, at: list[tuple[float, float]], words: str) -> Setting:
    back = draft.design.back
    assert back is not None
    there = len(back.panels[row - 1].holes)
    return _changed(
        words,
        {
            f"back.panels.{row}.holes.{there + number}": _hole(draft, row, point)
            for number, point in enumerate(at, 1)
        },
    )


def _in_bays(draft: Draft, scope: Scope) -> Iterator[tuple[int, int, Any]]:
    """Panel, bay and clear space of the bays concerned that a panel closes."""
    back = draft.design.back
    for row in scope.rows("panel"):
        assert back is not None
        for bay in sorted(set(back.panels[row - 1].bays) & set(scope.rows("bay"))):
            yield row, bay, draft.casework.bays[bay - 1].clear


def _add_vents(draft: Draft, scope: Scope, finding: Finding) -> Iterator[Setting]:
    for row, bay, clear in _in_bays(draft, scope):
        edge = HOLE_MM / 2 + FREE_MM
        for count in range(1, MOST_VENTS + 1):
            xs = [clear.lo[0] + (n + 0.5) * clear.size[0] / count for n in range(count)]
            if clear.size[0] / count < 2 * edge or clear.size[2] < 4 * edge:
                break
            at = [(x, z) for x in xs for z in (clear.lo[2] + edge, clear.hi[2] - edge)]
            yield _with_holes(draft, row, at, f"{count} low and {count} high vents in bay {bay}")


def _add_panel_hole(draft: Draft, scope: Scope, finding: Finding) -> Iterator[Setting]:
    edge = HOLE_MM / 2 + FREE_MM
    for row, bay, clear in _in_bays(draft, scope):
        for up in (0.15, 0.5, 0.85):
            for across in (0.5, 0.25, 0.75):
                x = clear.lo[0] + edge + across * (clear.size[0] - 2 * edge)
                z = clear.lo[2] + edge + up * (clear.size[2] - 2 * edge)
                if min(clear.size[0], clear.size[2]) > 2 * edge:
                    across_up = f"{draft.written(x - clear.lo[0])} across, "
                    across_up += f"{draft.written(z - clear.lo[2])} up"
                    words = f"a hole in the back of bay {bay}, {across_up}"
                    yield _with_holes(draft, row, [(x, z)], words)


def _add_advised_hole(draft: Draft, scope: Scope, finding: Finding) -> Iterator[Setting]:
    work = draft.casework
    for hole in new_holes(work, routes(work), zones_of(work)):
        if hole.field == "[[hole]]":
            row: Value = tomllib.loads(f"row = {{ {hole.line} }}")["row"]
            path = f"hole.{len(draft.design.holes) + 1}"
        else:
            row = tomllib.loads(f"row = {hole.line}")["row"]
            panel = int(hole.field.split(".")[2])
            assert draft.design.back is not None
            path = f"{hole.field}.{len(draft.design.back.panels[panel - 1].holes) + 1}"
        yield _changed(f"a hole in {hole.board} ({hole.line})", {path: row})


def _add_sheet(draft: Draft, scope: Scope, finding: Finding) -> Iterator[Setting]:
    named = {sheet.stock for sheet in draft.design.sheets}
    for stock in draft.casework.stocks:
        if stock.label == finding.subject and stock.key in named:
            yield Setting(
                f"a sheet of {stock.label} of usual size",
                1.0,
                lambda said, key=stock.key: add_sheet(said, key),  # type: ignore[misc]
            )


def _replug(draft: Draft, scope: Scope, finding: Finding) -> Iterator[Setting]:
    """Mains leads put into other sockets, one and more; then those of a strip that is added."""
    work, design = draft.casework, draft.design
    strips = [p.item.name for p in work.gear if p.kind.sockets is not None]
    here = OUTLET if finding.subject == "wall" else finding.subject
    if here not in (OUTLET, *strips):
        yield from _other_end(draft, scope, (OUTLET, *strips))
        return
    mains = [
        (row, *(("to", run.start) if run.end == here else ("from", run.end)))
        for row, run in enumerate(design.cables, 1)
        if here in (run.start, run.end) and cables()[run.kind].service is Service.MAINS
    ]
    # a strip stays on its own lead, and that lead can go elsewhere at its other end
    leads = [(row, key) for row, key, device in mains if device not in (OUTLET, *strips)]
    for row, key, feeding in mains:
        if feeding in strips and here != OUTLET:
            path = f"cable.{row}.{'from' if key == 'to' else 'to'}"
            yield _changed(f"{path} = {OUTLET}", {path: OUTLET})
    for count in range(1, len(leads) + 1):
        for socket in (OUTLET, *strips):
            if socket != here:
                to: Changes = {f"cable.{row}.{key}": socket for row, key in leads[:count]}
                yield _changed(f"{', '.join(to)} = {socket}", to)
    taken = {item.name for item in design.gear}
    stems = ("power strip", *(f"power strip {i}" for i in range(2, 102)))
    name = next(stem for stem in stems if stem not in taken)
    home = next((p.bay.number for p in work.gear if p.item.name == here and p.bay), 1)
    for bay in sorted((bay.number for bay in work.bays), key=lambda number: abs(number - home)):
        for count in range(1, len(leads) + 1):
            moved: Changes = {f"cable.{row}.{key}": name for row, key in leads[:count]}
            added: Changes = {
                f"gear.{len(design.gear) + 1}": {"name": name, "kind": STRIP, "bay": bay},
                f"cable.{len(design.cables) + 1}": {"from": name, "to": OUTLET, "kind": STRIP_LEAD},
            }
            words = f"a power strip more in bay {bay}, for {count} of the leads"
            yield _changed(words, added | moved)


def _other_end(draft: Draft, scope: Scope, sockets: tuple[str, ...]) -> Iterator[Setting]:
    """A cable with one of its ends in a socket."""
    for row in scope.rows("cable"):
        run = draft.design.cables[row - 1]
        for key, end, other in (("to", run.end, run.start), ("from", run.start, run.end)):
            for socket in sockets:
                if socket not in (end, other):
                    path = f"cable.{row}.{key}"
                    yield _changed(f"{path} = {socket}", {path: socket})


def _shift_case(draft: Draft, scope: Scope, finding: Finding) -> Iterator[Setting]:
    outlets, seats = draft.design.room.outlets, draft.design.room.seats
    if not outlets:
        return
    step = length(draft.usual("1 in", "25 mm"))
    for n in range(1, 25):
        for sign, way in ((-1, "right"), (1, "left")):
            # all that stands in the room is told from the case, and moves the other way
            moved = [o.across + sign * n * step for o in outlets]
            changes = {
                f"room.outlets.{row}.across": _signed(draft, mm) for row, mm in enumerate(moved, 1)
            }
            if seats is not None:
                changes["room.seats.across"] = _signed(draft, seats.across + sign * n * step)
            words = f"the console {draft.written(n * step)} to the {way}"
            yield Setting(
                words,
                n * step / draft.design.case.width,
                lambda said, c=changes: rewrite(said, c),  # type: ignore[misc]
            )


def _signed(draft: Draft, mm: float) -> str:
    return text(mm, draft.design.shop.units, step=Step.OVERALL)


def _right_angle(draft: Draft, scope: Scope, finding: Finding) -> Iterator[Setting]:
    """Cables whose plug leaves a device at a right angle, where the tables have them."""
    turned = {key: f"{key}-right-angle" for key in cables() if f"{key}-right-angle" in cables()}
    for row in scope.rows("gear"):
        placed = draft.casework.gear[row - 1]
        said: list[Value] = []
        for plug, _ in placed.plugs:
            kind = turned.get(plug.kind, plug.kind)
            at = {"across": plug.across, "up": plug.up}
            place = {key: exact(mm) for key, mm in at.items() if mm is not None}
            said.append({"kind": kind, **place} if place else kind)
        if any(plug.kind in turned for plug, _ in placed.plugs):
            changes: Changes = {f"gear.{row}.plugs": said}
            for number, run in enumerate(draft.design.cables, 1):
                if placed.item.name == run.start and run.kind in turned:
                    changes[f"cable.{number}.kind"] = turned[run.kind]
            yield _changed(f"right-angle plugs at {placed.item.name}", changes)


_MAKES: Mapping[Edit, Make] = {
    Edit.MOVE_GEAR: _move_gear,
    Edit.MOVE_CONTENT: _move_content,
    Edit.ADD_BAY: _add_bay,
    Edit.EVEN_BAYS: _even_bays,
    Edit.OPEN_BACK: _open_back,
    Edit.CLOSE_BACK: _close_back,
    Edit.ADD_BACK: _add_part(Part.BACK),
    Edit.ADD_BASE: _add_part(Part.BASE),
    Edit.ADD_FAN: _add_fan,
    Edit.ADD_VENTS: _add_vents,
    Edit.ADD_ADVISED_HOLE: _add_advised_hole,
    Edit.ADD_PANEL_HOLE: _add_panel_hole,
    Edit.ADD_SHEET: _add_sheet,
    Edit.REPLUG: _replug,
    Edit.SHIFT_CASE: _shift_case,
    Edit.RIGHT_ANGLE: _right_angle,
}
