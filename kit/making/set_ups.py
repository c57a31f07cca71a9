"""The set-up sheet: equal machine settings grouped, so that each machine is set once.

The order is that of the work: dadoes and grooves before the rabbets that cut their ends
away, then slots, bores, pockets, notches, and chamfers last. Door tracks come first of all
grooves: they can only be cut before assembly.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from kit.board import Feature, Operation, SetUp, Surface
from kit.casework import Casework
from kit.components.doors import is_track
from kit.making.pairs import pair_notes
from kit.making.table_text import csv_text
from kit.making.tooling import tooling
from kit.units import System, decimal, text

#: Operations in the order of the work.
ORDER = (
    Operation.GROOVE,
    Operation.DADO,
    Operation.RABBET,
    Operation.SLOT,
    Operation.BORE,
    Operation.POCKET,
    Operation.NOTCH,
    Operation.CHAMFER,
)


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut made at a setting: the board, its mark, the surface cut into, what lies against
    the fence, where along the fence it is (see `SetUp.stations`), and the feature it makes.
    """

    board: str
    mark: str
    surface: Surface
    against: Surface
    stations: tuple[float, ...]
    feature: Feature


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineSetting:
    """One setting of one machine, and all the cuts made with it; mm.

    `fence` is the distance from the fence to the near side of the cut, or to the centre line
    of a bore; the cut is made `count` times, each `pitch` further from it. `test` says what a
    test cut has to prove; empty where none is needed.
    """

    number: int
    operation: Operation
    cutter: str
    width: float
    depth: float
    fence: float
    count: int
    pitch: float
    cuts: tuple[Cut, ...]
    width_least: float
    test: str
    notes: tuple[str, ...]

    @property
    def cuts_track(self) -> bool:
        """Whether it cuts a track of sliding doors."""
        return any(is_track(cut.feature) for cut in self.cuts)

    @property
    def boards(self) -> tuple[str, ...]:
        """Names of the boards, each once."""
        return tuple(dict.fromkeys(cut.board for cut in self.cuts))


def set_up_sheet(casework: Casework) -> tuple[MachineSetting, ...]:
    """Every machine setting of a design, in the order of the work."""
    groups: dict[tuple[object, ...], list[tuple[Cut, SetUp]]] = {}
    for board in casework.boards:
        for feature in board.features:
            for setting in feature.set_ups(board):
                cut = Cut(
                    board.name,
                    casework.marks[board.name],
                    setting.surface,
                    setting.against,
                    setting.stations,
                    feature,
                )
                groups.setdefault(_same(setting), []).append((cut, setting))
    ordered = sorted(groups.values(), key=lambda group: _place(group))
    return tuple(_setting(number, group, casework) for number, group in enumerate(ordered, start=1))


def printed(settings: Sequence[MachineSetting], system: System) -> list[dict[str, str]]:
    """The settings as they are printed, in one display system."""
    return [
        {
            "no": str(s.number),
            "operation": s.operation.value,
            "cutter": s.cutter,
            "width": decimal(s.width, system, least=s.width_least),
            "depth": decimal(s.depth, system),
            "fence": text(s.fence, system),
            "repeat": f"{s.count} times, {decimal(s.pitch, system)} apart" if s.count > 1 else "",
            "cuts": "; ".join(
                f"{cut.mark} {cut.board}: {cut.surface.plain}, {cut.against.plain} to the fence"
                + _where(cut, s.operation, system)
                for cut in s.cuts
            ),
            "test cut": s.test,
            "notes": "; ".join(s.notes),
        }
        for s in settings
    ]


def to_csv(settings: Sequence[MachineSetting], system: System) -> str:
    """The printed settings as CSV text."""
    return csv_text(printed(settings, system))


def _where(cut: Cut, operation: Operation, system: System) -> str:
    if not cut.stations:
        return ""
    places = [text(station, system) for station in cut.stations]
    if operation in (Operation.BORE, Operation.POCKET):
        return f", at {', '.join(places)}"
    return f", from {places[0]} to {places[-1]}"


def _same(setting: SetUp) -> tuple[object, ...]:
    """Settings with the same key are one setting: numbers to 0.01 mm, far below what one sets."""
    return (
        setting.operation,
        setting.tool,
        round(setting.width, 2),
        round(setting.width_least, 2),
        round(setting.depth, 2),
        round(setting.fence, 2),
        setting.count,
        round(setting.pitch, 2),
        setting.surface.axis,
        setting.against.axis,
        setting.note,
    )


def _place(group: Sequence[tuple[Cut, SetUp]]) -> tuple[object, ...]:
    (cut, setting), *_ = group
    return (
        ORDER.index(setting.operation),
        not is_track(cut.feature),
        -setting.width,
        -setting.depth,
        setting.fence,
    )


def _setting(number: int, group: Sequence[tuple[Cut, SetUp]], casework: Casework) -> MachineSetting:
    setting = group[0][1]
    cuts = tuple(cut for cut, _ in group)
    made = [(casework.by_name[cut.board], cut.feature) for cut in cuts]
    tool = tooling(setting, made, casework)
    notes = [setting.note, *tool.notes, *pair_notes(made)]
    return MachineSetting(
        number=number,
        operation=setting.operation,
        cutter=tool.cutter,
        width=setting.width,
        width_least=setting.width_least,
        depth=setting.depth,
        fence=setting.fence,
        count=setting.count,
        pitch=setting.pitch,
        cuts=cuts,
        test=tool.test,
        notes=tuple(note for note in notes if note),
    )
