"""The set-up sheet, read back from its text and held against the cuts that the solids have.

Every printed cut is looked for in the solid of its board: channels by floor and walls, bores by
centre line, slots by outline. And every cut that a solid has must be in the list.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kit.board import Operation, Surface
from kit.errors import UnitError
from kit.release.machined import Setting, Shavings
from kit.release.truth import Truth

FILE = "set-ups.csv"
#: Cuts within this of each other are made at one setting, mm: the first of them is printed.
ONE_SETTING = 0.01

_CUT = re.compile(
    r"(?P<mark>[A-Z]+) (?P<board>[a-z][a-z0-9-]*): (?P<surface>(?:face|edge|end) \w), "
    r"(?P<against>(?:face|edge|end) \w) to the fence"
    r"(?:, at (?P<at>.+)|, from (?P<start>.+) to (?P<stop>.+))?"
)
_REPEAT = re.compile(r"(?P<count>\d+) times, (?P<pitch>.+) apart")
_SURFACES = {surface.plain: surface for surface in Surface}


@dataclass(frozen=True, slots=True)
class _Cut:
    mark: str
    board: str
    setting: Setting


def compare_set_ups(truth: Truth, rows: Sequence[Mapping[str, str]]) -> Iterator[str]:
    """Why the set-up sheet is not that of the solids; nothing where it is."""
    shavings = {board.name: Shavings(truth, board) for board in truth.casework.boards}
    for number, row in enumerate(rows, start=1):
        where = f"{FILE} row {row['no']}"
        if row["no"] != str(number):
            yield f"{where}: its number should be {number}"
        try:
            cuts = list(_cuts(row))
        except (ValueError, UnitError) as error:
            yield f"{where} cannot be read: {error}"
            continue
        for place, cut in enumerate(cuts):
            board = truth.casework.by_name.get(cut.board)
            if board is None or truth.casework.marks[board.name] != cut.mark:
                yield f"{where}: there is no board {cut.mark} {cut.board}"
                continue
            slack = ONE_SETTING if place else 0.0
            try:
                problem = shavings[cut.board].take(cut.setting, slack)
            except UnitError as error:
                yield f"{where} cannot be read: {error}"
                continue
            if problem:
                yield f"{where}: {truth.named(board)} has no {cut.setting.plain}; {problem}"
    for name, left in shavings.items():
        for cut_left in left.unexplained():
            named = truth.named(truth.casework.by_name[name])
            yield f"{FILE}: no row makes {cut_left} that the solid of {named} has"


def _cuts(row: Mapping[str, str]) -> Iterator[_Cut]:
    operation = Operation(row["operation"])
    count, pitch = 1, ""
    if row["repeat"]:
        repeat = _REPEAT.fullmatch(row["repeat"])
        if repeat is None:
            raise ValueError(f'repeat "{row["repeat"]}"')
        count, pitch = int(repeat["count"]), repeat["pitch"]
    for words in row["cuts"].split("; "):
        found = _CUT.fullmatch(words)
        if found is None or not {found["surface"], found["against"]} <= _SURFACES.keys():
            raise ValueError(f'cut "{words}"')
        stations: tuple[str, ...] = ()
        if found["at"]:
            stations = tuple(found["at"].split(", "))
        elif found["start"]:
            stations = (found["start"], found["stop"])
        setting = Setting(
            operation=operation,
            width=row["width"],
            depth=row["depth"],
            fence=row["fence"],
            surface=_SURFACES[found["surface"]],
            against=_SURFACES[found["against"]],
            stations=stations,
            count=count,
            pitch=pitch,
        )
        yield _Cut(found["mark"], found["board"], setting)
