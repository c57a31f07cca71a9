"""Can every joint be cut, and does enough wood stay around it?"""

from collections.abc import Iterator
from itertools import combinations

from kit.board import Board, Feature, Surface
from kit.casework import Casework
from kit.finding import Finding, Sense, judge
from kit.geometry import Box
from kit.joinery import Hole, HoleRow, PocketHoles, Trench

#: Least share of the thickness left between two channels in opposite faces.
BETWEEN = 0.25
#: Least room in front of a pocket hole for a driver, mm. From memory.
DRIVER = 100.0


def check_joints(casework: Casework) -> Iterator[Finding]:
    """The problems of every feature on every board; one finding a board where there are none."""
    for board in casework.boards:
        found = [
            *_problems(casework, board),
            *_meetings(board),
            *_back_to_back(casework, board),
            *_covered(casework, board),
        ]
        if found or not board.features:
            yield from found
            continue
        yield judge(
            "joinery",
            board.name,
            0,
            0,
            sense=Sense.AT_MOST,
            unit="problems",
            why="Every cut lies on the board and leaves enough wood around it.",
            source="common-practice",
            boards=(board.name,),
        )


def _problems(casework: Casework, board: Board) -> Iterator[Finding]:
    for feature in board.features:
        for problem in feature.problems(board, casework.say):
            yield judge(
                problem.rule,
                board.name,
                problem.measured,
                problem.required,
                sense=problem.sense,
                unit="mm",
                why=f"On {board.name}, {problem.why}",
                source=problem.source,
                boards=(board.name,),
            )


def _meetings(board: Board) -> Iterator[Finding]:
    for one, other in board.meetings():
        names = " and ".join(f"the {_named(feature)}" for feature in (one, other))
        yield judge(
            "cuts that meet",
            board.name,
            1,
            0,
            sense=Sense.AT_MOST,
            unit="meetings",
            why=f"On {board.name} {names} run into each other; move one of them.",
            source="common-practice",
            boards=(board.name,),
        )


def _covered(casework: Casework, board: Board) -> Iterator[Finding]:
    """Pocket holes whose mouth another board stands on: no driver gets in."""
    for feature in board.features:
        if not isinstance(feature, PocketHoles):
            continue
        mouths = [board.place.to_room(d.entry) for d in feature.cutters(board) if not d.through]
        axis = board.place.out.axis
        step = board.place.out.sign * (1.0 if feature.surface.far else -1.0)
        for mouth in mouths:
            before = list(mouth)
            before[axis] += step
            point = Box((before[0], before[1], before[2]), (before[0], before[1], before[2]))
            for other in casework.boards:
                if other is not board and other.box.contains(point):
                    yield judge(
                        "pocket holes open",
                        board.name,
                        0.0,
                        DRIVER,
                        sense=Sense.AT_LEAST,
                        unit="mm",
                        why=f"{other.name} stands on a pocket hole of {board.name} at "
                        f"{casework.say(mouth[board.place.along.axis])}; no driver gets in.",
                        source="common-practice",
                        boards=(board.name, other.name),
                    )


def _named(feature: Feature) -> str:
    """What a maker calls the cut: `bolts`, `dado for divider-1`."""
    if isinstance(feature, Hole | HoleRow):
        return feature.purpose.value
    if isinstance(feature, Trench):
        return f"{feature.operation.value} for {feature.mate}"
    return type(feature).__name__.lower()


def _back_to_back(casework: Casework, board: Board) -> Iterator[Finding]:
    trenches = [f for f in board.features if isinstance(f, Trench)]
    for one, other in combinations(trenches, 2):
        if {one.surface, other.surface} != {Surface.FACE_A, Surface.FACE_B}:
            continue
        (a,), (b,) = one.cutters(board), other.cutters(board)
        share = all(min(a.hi[i], b.hi[i]) > max(a.lo[i], b.lo[i]) for i in range(2))
        if share:
            left = board.thickness - one.depth - other.depth
            yield judge(
                "wood between opposite cuts",
                board.name,
                left,
                BETWEEN * board.thickness,
                sense=Sense.AT_LEAST,
                unit="mm",
                why=f"{casework.say(left)} stays in {board.name} between the "
                f"{one.operation.value} for {one.mate} and the "
                f"{other.operation.value} for {other.mate}.",
                source="common-practice",
                boards=(board.name,),
            )
