"""The states of a console that its verdicts need, each solved once and when it is asked for."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from kit.casework import Casework, once
from kit.checks.airflow.added import unknown_air
from kit.checks.airflow.climates import Climate, Heat, own_heat_w, solved, zone_heat_w
from kit.checks.airflow.network import Network
from kit.checks.airflow.reading import Standing, network, standing
from kit.checks.airflow.site import Site, site
from kit.checks.airflow.solve import NoAnswerError
from kit.routes import cable_fill


@dataclass(frozen=True, slots=True)
class DoorsAt:
    """Where the doors stand: shut, or slid clear of `bay`, or (`before`) before it."""

    bay: int | None = None
    before: bool = False


SHUT = DoorsAt()


@dataclass(frozen=True)
class States:
    """Steady states of a console by heat and by where its doors stand.

    `fill` as in `standing_openings`. Each state begins where one that is near ended.
    """

    casework: Casework
    fill: Mapping[str, float] | None
    _sites: dict[DoorsAt, Site] = field(default_factory=dict)
    _networks: dict[DoorsAt, Network] = field(default_factory=dict)
    _found: dict[tuple[Heat, DoorsAt], Climate | NoAnswerError] = field(default_factory=dict)

    def at(self, heat: Heat, doors: DoorsAt = SHUT) -> Climate:
        """One state. Raises NoAnswerError where it has no answer."""
        if _lefts(self._site(doors)) == _lefts(self._site(SHUT)):
            doors = SHUT
        key = (heat, doors)
        if key not in self._found:
            here = self._site(doors)
            ways = self._ways(doors)
            near = self._near(heat, doors)
            guess = None if near is None else near.solution.x
            try:
                found = solved(here, ways, heat, zone_heat_w(here, heat), guess)
                self._found[key] = found
            except NoAnswerError as reason:
                self._found[key] = reason
        answer = self._found[key]
        if isinstance(answer, NoAnswerError):
            raise answer
        return answer

    @cached_property
    def before(self) -> tuple[DoorsAt, ...]:
        """The doors slid before each bay with a device in it, where that is not as they are shut.

        The warmest place of the doors for what stands there: as much of its front as can be is
        covered, and as much of that as can be twice.
        """
        return tuple(self._slid())

    @cached_property
    def unknown_air(self) -> Mapping[int, str]:
        """By number of the bay, why no figure of its air can be given, in a sentence."""
        return unknown_air(self._ways(SHUT), self.casework)

    @cached_property
    def heats(self) -> tuple[Heat, ...]:
        """The heats that a device may give off for hours: in use, and standby where any is more."""
        more = any(
            (own_heat_w(self.casework, placed, Heat.STANDBY) or 0.0)
            > (own_heat_w(self.casework, placed, Heat.TYPICAL) or 0.0)
            for placed in self.casework.inside
        )
        return (Heat.TYPICAL, Heat.STANDBY) if more else (Heat.TYPICAL,)

    def _slid(self) -> Iterator[DoorsAt]:
        seen = [_lefts(self._site(SHUT))]
        for number in sorted({placed.within.number for placed in self.casework.inside}):
            doors = DoorsAt(number, before=True)
            lefts = _lefts(self._site(doors))
            if lefts not in seen:
                seen.append(lefts)
                yield doors

    def _site(self, doors: DoorsAt) -> Site:
        if doors not in self._sites:
            open_bay, covered = (None, doors.bay) if doors.before else (doors.bay, None)
            self._sites[doors] = site(self.casework, open_bay, covered)
        return self._sites[doors]

    @cached_property
    def _shared(self) -> Standing:
        return standing(self._site(SHUT), self.fill)

    def _ways(self, doors: DoorsAt) -> Network:
        if doors not in self._networks:
            self._networks[doors] = network(self._site(doors), self.fill, self._shared)
        return self._networks[doors]

    def _near(self, heat: Heat, doors: DoorsAt) -> Climate | None:
        """A solved state of the same heat, or of these doors; None for the first."""
        for known in ((heat, SHUT), (Heat.TYPICAL, doors), (Heat.TYPICAL, SHUT)):
            answer = self._found.get(known)
            if isinstance(answer, Climate):
                return answer
        return None


def states(casework: Casework, fill: Mapping[str, float] | None = None) -> States:
    """The states of a console, kept with it; `fill` as in `standing_openings`."""
    return _states(casework, None if fill is None else tuple(sorted(fill.items())))


def as_reported(casework: Casework) -> States:
    """The states that the report judges: with the cables of the design in its holes."""
    return states(casework, cable_fill(casework))


@once
def _states(casework: Casework, fill: tuple[tuple[str, float], ...] | None) -> States:
    return States(casework, None if fill is None else dict(fill))


def _lefts(here: Site) -> frozenset[tuple[str, float]]:
    """Where the doors stand, by name, to a hundredth of a millimetre."""
    return frozenset((hung.door.board.name, round(hung.left, 2)) for hung in here.doors)
