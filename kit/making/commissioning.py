"""The check after moving in: where to put a thermometer, when, and what it may read."""

from collections.abc import Mapping
from dataclasses import dataclass

from kit.casework import Casework
from kit.checks.airflow import (
    UNCERTAIN,
    Evening,
    Heat,
    climate,
    evening,
    unknown_air,
    unknown_heat,
)

#: When a first reading tells enough, minutes of use. Source: builders-accounts.
FIRST_MIN = 45.0
#: How long a film is, hours.
FILM_H = 3.0
#: From a device to the thermometer in front of its intake, mm. Common practice, no source.
OFF_MM = 50.8

#: Said beside the readings.
CAUTIONS = (
    "Follow the manual of each device and local codes; where they ask for more, they go first.",
    "Never block the vents of a device, nor the openings that this plan relies on.",
    "Keep what is warm clear of dust, fabrics and paper; clean vents and filters twice a year.",
    "Switch off and let it cool where a reading is over its limit, anything smells, or wood is too "
    "hot to keep a hand on.",
    "The expected figures come from a model that may be off by about "
    f"{UNCERTAIN * 100:.0f} % of the rise; the reading decides.",
)
#: Why it is not said what a reading will be.
NO_HEAT = "the heat of some gear is not."


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One place for a thermometer. Rises are over the room air read at the same time, K.

    `first_k` is expected after FIRST_MIN minutes and `film_k` after FILM_H hours; None where the
    heat of the gear is not known, or for what `why` says. `limit_c` is what the device
    bears, None where not known.
    """

    device: str
    where: str
    limit_c: float | None
    first_k: float | None
    film_k: float | None
    why: str = NO_HEAT

    def sentence(self, room_c: float) -> str:
        """The line as printed, for the room air that was reckoned with, °C."""
        if self.limit_c is None:
            limit = f"the limit in the manual of {self.device}"
        else:
            limit = f"{self.limit_c:g} °C"
        text = f"{self.where}. It may read {limit} at most, on the warmest day."
        if self.first_k is None or self.film_k is None:
            return f"{text} What to expect is not known: {self.why}"
        text += (
            f" Expect {room_c + self.first_k:.0f} °C after {FIRST_MIN:.0f} min and "
            f"{room_c + self.film_k:.0f} °C after {FILM_H:g} h with {room_c:g} °C in the room."
        )
        if self.limit_c is not None:
            text += (
                f" In a cooler room read the rise: more than {self.limit_c - room_c:.0f} K over "
                "the room is too much."
            )
        return text


def to_text(casework: Casework, cable_fill: Mapping[str, float] | None = None) -> str:
    """The check as a page of plain text. Raises NoAnswerError as `commissioning` does."""
    room_c = casework.design.room.air_c
    lines = [f"{casework.design.name}: check of the air after moving in", ""]
    for number, reading in enumerate(commissioning(casework, cable_fill), start=1):
        lines.append(f"{number}. {reading.device}: {reading.sentence(room_c)}")
    return "\n".join([*lines, "", *CAUTIONS]) + "\n"


def commissioning(
    casework: Casework, cable_fill: Mapping[str, float] | None = None
) -> tuple[Reading, ...]:
    """A reading for each device that draws in air, in the order of the design file.

    In use, doors shut; `cable_fill` is the share of the cable holes of a board that
    cables take. Raises NoAnswerError where the air cannot be reckoned.
    """
    film = None
    parted: Mapping[int, str] = {}
    if not unknown_heat(casework, Heat.TYPICAL):
        film = evening(climate(casework, Heat.TYPICAL, cable_fill=cable_fill), FILM_H)
        parted = unknown_air(film.state.network, casework)
    readings = []
    for placed in casework.inside:
        if placed.kind.max_intake_c is None and not Heat.TYPICAL.of(placed):
            continue
        why = parted.get(placed.within.number)
        if film is None or why is not None:
            first_k = film_k = None
        else:
            zone = film.state.here.holding(placed)
            first_k, film_k = _rise_k(film, zone, FIRST_MIN * 60), _rise_k(film, zone)
        doors = casework.doors is not None and not placed.within.open_back
        readings.append(
            Reading(
                device=placed.item.name,
                where=f"{casework.say(OFF_MM)} from the intake of {placed.item.name} in "
                f"{placed.within.name}, touching nothing" + (", doors shut" if doors else ""),
                limit_c=placed.kind.max_intake_c,
                first_k=first_k,
                film_k=film_k,
                why=why or NO_HEAT,
            )
        )
    return tuple(readings)


def _rise_k(film: Evening, zone: int, at_s: float | None = None) -> float:
    """Rise of a zone at a time, between the two times next to it, or at the end."""
    rises = [float(c) - film.state.room_c for c in film.air_c[:, zone]]
    if at_s is None:
        return rises[-1]
    before_s = before_k = 0.0
    for now_s, now_k in zip((float(t) for t in film.times_s), rises, strict=True):
        if now_s >= at_s:
            return before_k + (now_k - before_k) * (at_s - before_s) / (now_s - before_s)
        before_s, before_k = now_s, now_k
    return rises[-1]
