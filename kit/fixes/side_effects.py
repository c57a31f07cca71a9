"""What else a fix does, in words: sizes, sheets, mass, and findings that change."""

import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from kit.casework import Casework
from kit.checks import NOT_MEASURED
from kit.errors import BuildError
from kit.finding import Report, Status
from kit.geometry import SAME_MM
from kit.making.sheets import sheet_plan
from kit.toml_text import Value
from kit.units import Step, text

#: Less is not worth telling, kg.
LIGHT_KG = 0.5


def changed_fields(before: str, after: str) -> dict[str, Value | None]:
    """By path of the design file, what is written differently; None for what is gone."""
    return dict(_differences("", tomllib.loads(before), tomllib.loads(after)))


def _differences(path: str, before: Any, after: Any) -> Iterator[tuple[str, Any]]:
    if before == after:
        return
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        for key in dict.fromkeys([*before, *after]):
            under = f"{path}.{key}" if path else str(key)
            if key not in after:
                yield under, None
            elif key not in before:
                yield under, after[key]
            else:
                yield from _differences(under, before[key], after[key])
    elif _rows(before) and _rows(after):
        yield from _row_differences(path, before, after)
    else:
        yield path, after


def _rows(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(row, Mapping) for row in value)


def _row_differences(path: str, before: Sequence[Any], after: Sequence[Any]) -> Iterator[Any]:
    gone = [n for n, row in enumerate(before, 1) if row not in after]
    if len(before) - len(after) == len(gone) > 0:
        yield from ((f"{path}.{n}", None) for n in gone)
        return
    for number in range(max(len(before), len(after))):
        under = f"{path}.{number + 1}"
        if number >= len(after):
            yield under, None
        elif number >= len(before):
            yield under, after[number]
        else:
            yield from _differences(under, before[number], after[number])


def side_effects(
    before: Casework,
    after: Casework,
    reports: tuple[Report, Report],
    target: tuple[str, str],
    cancelled: Callable[[], bool] | None = None,
) -> tuple[str, ...]:
    """What the change does besides, one short phrase each; empty where nothing.

    `reports` are the findings before and after, `target` the check and subject that was cured.
    """
    return (
        *_sizes(before, after),
        *_sheets(before, after, cancelled),
        *_mass(before, after),
        *_cut_boards(before, after),
        *_findings(reports, target),
    )


def _sizes(before: Casework, after: Casework) -> Iterator[str]:
    def say(mm: float) -> str:
        return text(mm, after.design.shop.units, step=Step.BOARD)

    case = (before.design.case, after.design.case)
    for name, more, less in (
        ("width", "wider", "narrower"),
        ("height", "higher", "lower"),
        ("depth", "deeper", "shallower"),
    ):
        change = getattr(case[1], name) - getattr(case[0], name)
        if abs(change) > SAME_MM:
            yield f"case {say(abs(change))} {more if change > 0 else less}"
    if len(before.bays) == len(after.bays):
        for old, new in zip(before.bays, after.bays, strict=True):
            change = new.clear.size[0] - old.clear.size[0]
            if abs(change) > SAME_MM:
                more = "wider" if change > 0 else "narrower"
                yield f"{new.name}: {say(abs(change))} {more}"
    else:
        yield f"{len(after.bays)} bays instead of {len(before.bays)}"


def _sheets(
    before: Casework, after: Casework, cancelled: Callable[[], bool] | None
) -> Iterator[str]:
    try:
        old = sheet_plan(before, cancelled=cancelled).bought
        new = sheet_plan(after, cancelled=cancelled).bought
    except BuildError:
        return  # a board fits no sheet, or what is on hand does not suffice: a finding says so
    labels = {stock.key: stock.label for work in (before, after) for stock in work.stocks}
    for key in dict.fromkeys([*old, *new]):
        more = new.get(key, 0) - old.get(key, 0)
        if more:
            count = "one sheet" if abs(more) == 1 else f"{abs(more)} sheets"
            yield f"{count} {'more' if more > 0 else 'fewer'} of {labels.get(key, key)}"


def _mass(before: Casework, after: Casework) -> Iterator[str]:
    change = sum(b.mass_kg for b in after.boards) - sum(b.mass_kg for b in before.boards)
    if abs(change) >= LIGHT_KG:
        yield f"{abs(change):.1f} kg {'heavier' if change > 0 else 'lighter'}"


def _cut_boards(before: Casework, after: Casework) -> Iterator[str]:
    for name in before.design.measured.cut:
        old, new = before.by_name.get(name), after.by_name.get(name)
        if old is not None and (new is None or new.cut != old.cut):
            yield f"{name} is cut already and no longer fits"


def _findings(reports: tuple[Report, Report], target: tuple[str, str]) -> Iterator[str]:
    before = {f.key: f.status for f in reports[0]}
    failed = {f.key for f in reports[0] if f.status is Status.FAIL}
    still = {f.key for f in reports[1] if f.status is Status.FAIL}
    for check, subject in sorted(failed - still - {target}):
        yield f"'{check}' of {subject} no longer fails"
    for finding in reports[1]:
        key = finding.key
        if finding.check in NOT_MEASURED and finding.status is Status.UNKNOWN and key not in before:
            yield f"{finding.subject} is still to be measured"
        elif finding.status is Status.WATCH and key == target:
            yield "it passes with little to spare"
        elif finding.status is Status.WATCH and before.get(key) is Status.OK:
            yield f"'{finding.check}' of {finding.subject} wants watching"
