"""Rays from the seats to the infrared receivers and aerials, past doors, boards and gear."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from kit.board import Board
from kit.cabling import connector
from kit.casework import Casework
from kit.checks.seat import HAND_BELOW, eye_height, floor
from kit.checks.sight.rays import (
    Flags,
    Points,
    bearing_deg,
    fan,
    grid,
    hits_box,
    off_axis_deg,
    open_share,
    stopped,
    through,
)
from kit.components.contents import Placed
from kit.finding import Finding, Sense, judge
from kit.room import Seats

#: Side of the window of an infrared receiver, mm; from memory.
WINDOW = 10.0
#: A receiver sees this far off straight ahead, up and down as well. Source: infrared-notes.
HALF_ANGLE_DEG = 45.0
#: Share of the rays from the seats that has to arrive, so that nobody needs to aim, and the
#: margin below which it is to be watched; from memory: no measured threshold was found.
SHARE, MARGIN = 0.1, 0.2
#: Rays: places at the seats in width and height, and points of the window each way.
SEAT_STEPS, WINDOW_STEPS = (48, 8), (3, 3)
#: Share of the directions to the seats in which no other device hides an aerial; from memory.
RADIO_SHARE = 0.5


@dataclass(frozen=True, slots=True)
class View:
    """What the seats see of one receiver.

    `start` and `end` are the rays (n, 3), mm, and `seen` says which arrive with the doors shut.
    `share` is theirs; `angles_deg` the least and the greatest bearing that arrives, from
    straight ahead, right positive; None where none does. `helping` are the doors that help when
    slid as far as they go, with the share that is seen then, the best first.
    """

    placed: Placed
    start: Points
    end: Points
    seen: Flags
    share: float
    angles_deg: tuple[float, float] | None
    before: tuple[str, ...]
    helping: tuple[tuple[str, float], ...]

    @property
    def by_place(self) -> Points:
        """Share of the rays that arrive from each place along the seats, left to right."""
        shares: Points = self.seen.reshape(SEAT_STEPS[0], -1).mean(axis=1)
        return shares

    @property
    def places(self) -> float:
        """Share of the places along the seats from which any ray arrives."""
        return float((self.by_place > 0).mean())

    @property
    def bearings(self) -> str:
        """The angles that arrive, as printed: `from -5 to 23 degrees`; empty where none does."""
        if self.angles_deg is None:
            return ""
        least, most = (round(angle) for angle in self.angles_deg)
        return f"at {most} degrees" if least == most else f"from {least} to {most} degrees"

    @property
    def sample(self) -> tuple[tuple[Points, Points] | None, ...]:
        """One ray that arrives from each place along the seats, (3,) to (3,), mm; None where
        none does: the one that starts nearest to the middle of the hands.
        """
        each = len(self.start) // SEAT_STEPS[0]
        found: list[tuple[Points, Points] | None] = []
        for first in range(0, len(self.start), each):
            seen = first + np.flatnonzero(self.seen[first : first + each])
            if not len(seen):
                found.append(None)
                continue
            height = self.start[first : first + each, 2]
            one = seen[np.argmin(np.abs(self.start[seen, 2] - height.mean()))]
            found.append((self.start[one], self.end[one]))
        return tuple(found)


def views(casework: Casework) -> tuple[View, ...]:
    """The view of each device with an infrared receiver; none where no seats are known."""
    seats = casework.design.room.seats
    if seats is None:
        return ()
    sources = seat_points(casework, seats)
    return tuple(_view(casework, placed, sources) for placed in casework.gear if placed.eye)


def seat_points(casework: Casework, seats: Seats) -> Points:
    """Places of the hands that hold the remote control, mm: from the lap up to the eyes."""
    middle = casework.design.case.width / 2 + seats.across
    half = max(seats.width / 2, 1.0)
    high = floor(casework) + eye_height(seats)
    lo = (middle - half, -seats.distance, high - HAND_BELOW)
    hi = (middle + half, -seats.distance, high)
    return grid(lo, hi, (SEAT_STEPS[0], 1, SEAT_STEPS[1]))


def check_sight(casework: Casework) -> Iterator[Finding]:
    """A finding for each infrared receiver and for each device with radio."""
    if casework.design.room.seats is None:
        yield from _no_seats(casework)
        return
    for view in views(casework):
        yield _infrared(casework, view)
    sources = seat_points(casework, casework.design.room.seats)
    for placed in casework.gear:
        if placed.kind.radio:
            yield _radio(casework, placed, sources)


def _no_seats(casework: Casework) -> Iterator[Finding]:
    for placed in casework.gear:
        if placed.kind.infrared:
            yield judge(
                "remote control",
                placed.item.name,
                None,
                SHARE,
                sense=Sense.AT_LEAST,
                unit="of the rays",
                why=f"From where {placed.item.name} is to be worked is not known; write "
                "[room.seats] with their distance.",
                source="infrared-notes",
            )


def _view(casework: Casework, placed: Placed, sources: Points) -> View:
    eye = placed.eye
    assert eye is not None
    half = WINDOW / 2
    lo, hi = (eye[0] - half, eye[1], eye[2] - half), (eye[0] + half, eye[1], eye[2] + half)
    # a hair in front of the body, which is no obstacle to its own window
    window = grid(lo, hi, (WINDOW_STEPS[0], 1, WINDOW_STEPS[1])) - np.array([0.0, 0.01, 0.0])
    start, end = fan(sources, window)
    bearing = bearing_deg(start, end)
    faced = off_axis_deg(start, end) <= HALF_ANGLE_DEG
    others = [other.body for other in casework.gear if other is not placed]
    doors = {door.board.name: door for door in casework.doors.doors} if casework.doors else {}
    fixed = [(board, 0.0) for board in casework.boards if board.name not in doors]
    past = faced.copy()
    past[past] = through(start[past], end[past], fixed, others)

    def passes(name: str, shift: float) -> Flags:
        return ~stopped(start[past], end[past], casework.by_name[name], shift)

    shut = {name: passes(name, 0.0) for name in doors}

    def seen_with(passing: Mapping[str, Flags]) -> Flags:
        seen = past.copy()
        seen[seen] = np.logical_and.reduce([np.ones(past.sum(), dtype=bool), *passing.values()])
        return seen

    seen = seen_with(shut)
    share = float(seen.mean())
    tried = [
        (
            f"{name} slid to the {way}",
            float(seen_with(shut | {name: passes(name, to - door.shut)}).mean()),
        )
        for name, door in doors.items()
        for way, to in (("left", door.least), ("right", door.most))
        if share < SHARE + MARGIN and abs(to - door.shut) > 1.0
    ]
    return View(
        placed=placed,
        start=start,
        end=end,
        seen=seen,
        share=share,
        angles_deg=_range(bearing[seen]),
        before=tuple(n for n in doors if _before(casework.by_name[n], eye)),
        helping=tuple(
            sorted((one for one in tried if one[1] > share), key=lambda one: one[1], reverse=True)
        ),
    )


def _range(bearing: Points) -> tuple[float, float] | None:
    return (float(bearing.min()), float(bearing.max())) if len(bearing) else None


def _before(door: Board, eye: tuple[float, float, float]) -> bool:
    return door.box.lo[0] < eye[0] < door.box.hi[0]


def _infrared(casework: Casework, view: View) -> Finding:
    name = view.placed.item.name
    if view.before:
        shares = " and ".join(
            f"{door} ({open_share(casework.by_name[door]):.0%} open)" for door in view.before
        )
        why = f"{view.share:.0%} of the rays from the seats reach {name} past {shares}"
    else:
        why = f"{view.share:.0%} of the rays from the seats reach {name}, with no door before it"
    if view.bearings:
        why += f", {view.bearings} off straight ahead"
        if view.places < 1.0:
            why += f" and from {view.places:.0%} of the places along the seats"
    why += "."
    if view.share < SHARE + MARGIN:
        if view.helping:
            told = ", ".join(f"with {state} it is {seen:.0%}" for state, seen in view.helping)
            why += f" {told[0].upper()}{told[1:]}."
        hole = connector("minijack").hole_mm
        why += (
            " Where that is not enough, an infrared repeater: its eye in the open, its emitter "
            f"before {name}, its cable through a hole of {casework.say(hole)} or more."
        )
    return judge(
        "remote control",
        name,
        view.share,
        SHARE,
        sense=Sense.AT_LEAST,
        unit="of the rays",
        watch=MARGIN,
        why=why,
        assumes=("the window where the design says; " if view.placed.item.eye else "")
        + ("" if view.placed.item.eye else "the window in the middle of the front; ")
        + "the remote held between lap and eyes; a receiver sees 45 degrees each way",
        source="infrared-notes",
        boards=view.before,
    )


def _radio(casework: Casework, placed: Placed, sources: Points) -> Finding:
    """Wood lets radio through; the metal bodies of other devices do not."""
    zone = placed.antennas or placed.body
    start, end = fan(sources, np.array([zone.centre]))
    hits = [
        (other.item.name, hits_box(start, end, other.body))
        for other in casework.gear
        if other is not placed
    ]
    hiding = [name for name, hit in hits if hit.any()]
    free = ~np.logical_or.reduce([np.zeros(len(start), dtype=bool), *(hit for _, hit in hits)])
    share = float(free.mean())
    why = f"Towards {share:.0%} of the seats nothing but wood stands before {placed.item.name}"
    why += f"; {' and '.join(hiding)} hides it." if hiding else "."
    return judge(
        "radio gets out",
        placed.item.name,
        share,
        RADIO_SHARE,
        sense=Sense.AT_LEAST,
        unit="of the rays",
        watch=0.2,
        why=why,
        assumes="no metal, mesh or foil in boards and doors; the bodies of other devices are metal",
        source="builders-accounts",
    )
