"""A lever on one design: the settings that it has there, the least change first."""

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from kit.cabling import cables
from kit.checks.loads import feet_span
from kit.checks.strength.slats import ROUTER_BITS
from kit.components.case import Corner
from kit.components.shelf import Held
from kit.cutters import cutters
from kit.design_file import rewrite, value_at
from kit.edits import bay_width, case_width_in_proportion, move_divider
from kit.edits.draft import Draft, left_to_right
from kit.edits.references import with_references
from kit.fixes.levers import BayWidth, Bought, Catalogue, Edit, Number, Option, Sheet, Size, Way
from kit.fixes.scope import Scope
from kit.hardware import edgings, grommets, shelf_pins
from kit.materials import sheet_goods
from kit.toml_text import Value
from kit.units import MM_PER_INCH, Step, System, exact, text

#: A change from less than this counts as one from so much, mm.
SMALL_MM = 25.0
#: A change of the case counts as one so many times as large of a part: nearly every board is cut
#: anew for it. Common practice, no source.
OF_THE_CASE = 4.0


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting: its words, which no other has, how large a change it is, and the text with it.

    `size` is the change as a share of what there was, `OF_THE_CASE` times that for the sizes of
    the case; 1 for a change that is no number. `edited` raises KitError where the design with it
    cannot be read or built. `value` is the path of a field and what is written there, where the
    setting is no more than that.
    """

    words: str
    size: float
    edited: Callable[[str], str]
    value: tuple[str, Value] | None = None

    def data(self, plain: Mapping[str, Any]) -> Mapping[str, Any] | None:
        """The values of a design file with the setting; None where only the text tells."""
        return None if self.value is None else with_value(plain, *self.value)


def with_value(plain: Mapping[str, Any], path: str, value: Value) -> Mapping[str, Any] | None:
    """Plain values with one changed or added; None where a table on the way is missing.

    What is not changed is shared with `plain`.
    """
    whole = dict(plain)
    table: Any = whole
    *parents, last = path.split(".")
    for step in parents:
        key = int(step) - 1 if step.isdigit() else step
        try:
            inner = table[key]
        except (KeyError, IndexError):
            return None
        table[key] = inner = list(inner) if isinstance(inner, list) else dict(inner)
        table = inner
    if not isinstance(table, dict):
        return None
    table[last] = value
    return whole


@dataclass(frozen=True, slots=True)
class Knob:
    """A lever with its settings, the least change first; `ordered` where they are a scale."""

    name: str
    settings: Sequence[Setting]
    ordered: bool = True

    @property
    def of_room(self) -> bool:
        """Whether it changes where the piece stands, and not the piece."""
        return self.name.startswith("room.") or self.name == Edit.SHIFT_CASE.value


def knobs_of(
    draft: Draft, scope: Scope, lever: Size | BayWidth | Number | Option | Bought | Sheet
) -> Iterator[Knob]:
    """What a lever can be set to: one knob for each field that it turns, and for each way."""
    if isinstance(lever, BayWidth):
        paths: Iterable[str] = (f"bay {number}" for number in scope.rows("bay"))
    else:
        paths = scope.filled(lever.path)
    said = draft.design.model_dump(by_alias=True)
    for path in paths:
        if isinstance(lever, BayWidth):
            now: Any = draft.casework.bays[int(path.removeprefix("bay ")) - 1].clear.size[0]
        else:
            now = value_at(said, path)
            now = _unsaid(draft, path) if now is None else now
        if now is None:
            continue
        if isinstance(lever, Option):
            yield Knob(path, [_one(path, v, 1.0) for v in lever.values if v != now], ordered=False)
        elif isinstance(lever, Bought):
            yield Knob(path, _bought(path, now, lever), ordered=False)
        else:
            for way in (Way.MORE, Way.LESS) if lever.way is Way.EITHER else (lever.way,):
                sign = 1 if way is Way.MORE else -1
                if isinstance(lever, Number):
                    yield Knob(path, _numbers(path, now, lever, sign))
                elif isinstance(lever, Sheet):
                    yield Knob(path, _sheets(path, now, sign))
                else:
                    yield Knob(path, _lengths(draft, path, now, lever, sign))


def _one(path: str, value: Value, size: float) -> Setting:
    words = str(value).lower() if isinstance(value, bool) else str(value)
    return Setting(
        f"{path} = {words}", size, lambda said: rewrite(said, {path: value}), (path, value)
    )


def _numbers(path: str, now: float, lever: Number, sign: int) -> list[Setting]:
    first = math.floor(now / lever.step) + 1 if sign > 0 else math.ceil(now / lever.step) - 1
    end = lever.most if sign > 0 else lever.least
    return [
        _one(path, n, abs(n - now) / max(abs(now), 1.0))
        for n in range(first * lever.step, end + sign, sign * lever.step)
    ]


def _sheets(path: str, now: str, sign: int) -> list[Setting]:
    """The same sheet goods in other thicknesses, the nearest first."""
    goods = sheet_goods()
    if now not in goods:
        return []
    thick = goods[now].nominal_mm
    same = [row for row in goods.values() if row.name == goods[now].name]
    other = [row for row in same if sign * (row.nominal_mm - thick) > 0]
    other.sort(key=lambda row: abs(row.nominal_mm - thick))
    return [_one(path, row.key, abs(row.nominal_mm - thick) / thick) for row in other]


def _bought(path: str, now: str | float, lever: Bought) -> list[Setting]:
    """What a table holds, the nearest first."""
    if lever.out_of is Catalogue.EDGINGS:
        keys = [key for key in edgings() if key != now]
        return [_one(path, key, 1.0) for key in keys]
    if lever.out_of is Catalogue.CABLES:
        return [_one(path, key, 1.0) for key in cables() if key != now]
    assert isinstance(now, int | float)
    if lever.out_of is Catalogue.LINERS:
        sizes = {row.hole_mm for row in grommets().values()}
    elif lever.out_of is Catalogue.SHELF_PINS:
        sizes = {row.hole_mm for row in shelf_pins().values()}
    else:
        sizes = {row.diameter_mm for row in cutters().values() if row.kind in ROUTER_BITS}
    signs = {Way.MORE: (1,), Way.LESS: (-1,), Way.EITHER: (1, -1)}[lever.way]
    fitting = [mm for mm in sizes if any(sign * (mm - now) > 1e-6 for sign in signs)]
    return [
        _one(path, exact(mm), abs(mm - now) / now)
        for mm in sorted(fitting, key=lambda mm: abs(mm - now))
    ]


def _lengths(
    draft: Draft, path: str, now: float, lever: Size | BayWidth, sign: int
) -> list[Setting]:
    """Every tick up to the reach of a lever, as a maker writes it."""
    system = draft.design.shop.units
    step = lever.grid.value if isinstance(lever, Size) else Step.OVERALL
    tick_mm = float(step.tick(system)) * (MM_PER_INCH if system is System.INCH else 1.0)
    edited = _turned(path)
    values: list[float]
    if (pitch := _pitch(draft, path)) is not None:
        count = math.floor(lever.reach_mm / pitch + 1e-9)
        # a sum of floats would show its noise in the file
        values = [round(now + sign * n * pitch, 6) for n in range(1, count + 1)]
        words = [exact(mm, system) for mm in values]
    else:
        ticks = Fraction(now / tick_mm).limit_denominator(1000)
        first = math.floor(ticks) + 1 if sign > 0 else math.ceil(ticks) - 1
        count = math.floor(lever.reach_mm / tick_mm)
        values = [(first + sign * n) * tick_mm for n in range(count)]
        words = [text(mm, system, step=step) for mm in values]
    least = lever.least_mm if isinstance(lever, Size) else 0.0
    made = []
    for mm, said in zip(values, words, strict=True):
        if mm < least - 1e-6:
            continue
        size = abs(mm - now) / max(abs(now), SMALL_MM)
        size *= OF_THE_CASE if path in ("case.width", "case.height", "case.depth") else 1.0
        value = (path, said) if _alone(draft, path) else None
        made.append(Setting(f"{path} = {said}", size, edited(mm, said), value))
    return made


def _alone(draft: Draft, path: str) -> bool:
    """Whether a length can be written with nothing else to follow it."""
    if path == "case.width" or path.startswith(("bay ", "divider.")):
        return False
    return not (path.startswith("case.") and draft.design.measured.opening)


def _pitch(draft: Draft, path: str) -> float | None:
    """What an adjustable shelf moves by: its pins go from hole to hole."""
    parts = path.split(".")
    if parts[0] != "shelf" or parts[-1] != "clear_below":
        return None
    shelf = draft.design.shelves[int(parts[1]) - 1]
    return shelf.holes.pitch if shelf.held is Held.PINS else None


def _turned(path: str) -> Callable[[float, str], Callable[[str], str]]:
    """How a length at a path is written: what hangs on it follows."""

    def edited(mm: float, words: str) -> Callable[[str], str]:
        def edit(said: str) -> str:
            if path.startswith("bay "):
                return bay_width(said, int(path.removeprefix("bay ")), mm)
            if path == "case.width":
                return case_width_in_proportion(said, mm)
            if path.startswith("divider.") and path.endswith(".at"):
                draft = Draft.of(said)
                row = int(path.split(".")[1]) - 1
                return move_divider(said, left_to_right(draft.design).index(row) + 1, mm)
            draft = Draft.of(said)
            if not _alone(draft, path):
                return with_references(draft, {path: words})
            return rewrite(said, {path: words})

        return edit

    return edited


def _unsaid(draft: Draft, path: str) -> Any:
    """What holds where a design leaves a field out; None where nothing does."""
    work, design, (head, *rest) = draft.casework, draft.design, path.split(".")
    if rest[-1] == "stock":
        return design.case.stock if value_at(design.model_dump(by_alias=True), head) else None
    if path == "doors.height":
        return work.doors.doors[0].board.length if work.doors else None
    if path == "case.corner_depth":
        share = {Corner.RABBET: 2 / 3, Corner.DADO: 1 / 3}.get(design.case.corner)
        return None if share is None else share * work.frame.top.thickness
    if head == "gear" and rest[1:] == ["across"]:
        placed = work.gear[int(rest[0]) - 1]
        return placed.body.lo[0] - placed.space.lo[0]
    if head == "gear" and rest[1:] == ["set_back"]:
        placed = work.gear[int(rest[0]) - 1]
        return placed.body.lo[1] - placed.space.lo[1] - (placed.kind.knob_mm or 0.0)
    if head == "content" and rest[1:] == ["length"]:
        return work.media[int(rest[0]) - 1].box.size[0]
    screen = {"screen": design.screen, "next_screen": design.next_screen}.get(head)
    if screen is not None and rest == ["set_back"] and screen.foot_depth is not None:
        return feet_span(work, screen)[0]
    if head == "cable" and rest[1:] == ["pull_out"]:
        return 0.0
    return None
