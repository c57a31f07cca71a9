"""Small designs whose verdicts were once wrong: each with what has to be said of it, and why.

Every file of `inputs/` is in `VERDICTS`. Where an engine is named, it is a three-dimensional finite
element model of the piece, which `tests/engine_consoles.py` makes again.
"""

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from kit.casework import Casework, build
from kit.checks import check
from kit.checks.airflow import Network, OpeningKind, read_network
from kit.design_file import parse
from kit.finding import Finding, Report, Status
from kit.joinery import HoleRow, Purpose
from kit.kinds import Kind
from kit.making.buy_list import buy_list

INPUTS = Path(__file__).parent / "inputs"
#: What takes seconds: a design at each cap.
LARGE = ("many-holes", "many-shelves")


@cache
def piece(name: str) -> Casework:
    return build(parse((INPUTS / f"{name}.toml").read_text(encoding="utf-8")))


@cache
def report(name: str) -> Report:
    return check(piece(name))


def the(name: str, check_name: str, subject: str) -> Finding:
    """The one finding of a check about something."""
    (finding,) = [f for f in report(name).about(check_name) if f.subject == subject]
    return finding


def fails(name: str) -> set[tuple[str, str]]:
    return {f.key for f in report(name) if f.status is Status.FAIL}


def beam_far_in() -> None:
    """Its ends hang 27 3/4 in past the base: 'held up all along and does not sag to speak of'."""
    droop = the("beam-far-in", "sag", "bottom")
    assert droop.status is Status.FAIL
    assert droop.measured == pytest.approx(2 * 8.5, rel=0.1)  # engine: 8.5 mm now, plywood
    assert "droops" in droop.why
    top = the("beam-far-in", "sag", "top")
    assert top.status is Status.FAIL
    assert "bows up" in top.why


def plate_with_tuner() -> None:
    """A harmless tuner with a lower limit hid that the console reaches 90 °C of 40."""
    air = "intake air at plate load"
    assert the("plate-with-tuner", air, "console").status is Status.FAIL
    assert the("plate-with-tuner", air, "console").measured == pytest.approx(90.0, abs=5.0)
    assert [key for key in fails("plate-with-tuner") if key[0] == air] == [(air, "console")]
    assert "condition of use" not in the("plate-with-tuner", air, "console").why


def fan_without_hole() -> None:
    """It moved 64.6 m³/h with no hole, no row in the buy list and no step: now it is bored."""
    work = piece("fan-without-hole")
    (fan,) = work.fans
    assert fan.board is not None
    features = work.by_name[fan.board].features
    rows = [f for f in features if isinstance(f, HoleRow)]
    assert sum(len(row.centres) for row in rows if row.purpose is Purpose.FAN_SCREW) == 4
    assert {row.key for row in buy_list(work)} >= {"fan-120", "fan-guard-120", "fan-lead"}
    net: Network = read_network(work)
    assert sum(o.kind is OpeningKind.FAN for o in net.openings) == 1


def thin_plain_doors() -> None:
    """4 mm plywood 30 in high passed as plain doors, and failed at 46.6 mm once slatted."""
    for door in ("door-1", "door-2"):
        assert the("thin-plain-doors", "plain door is stiff", door).status is Status.FAIL


def ordinary_72() -> None:
    """'FAIL 54 N ... tip it backward', with a wall 1 in behind. Nothing of it fails."""
    assert fails("ordinary-72") == set()
    assert "tip it forward" in the("ordinary-72", "stands a push at the top", "console").why


def five_bays_ends() -> None:
    """Four watches said that a divider stands in every window, which is the full clear width."""
    told = {f.key for f in report("five-bays-ends") if f.status is not Status.OK}
    assert fails("five-bays-ends") == set()
    assert told == {("feet can be levelled", "base")}


def from_nine_feet() -> None:
    """The width of the picture as seen is taste: watched, and no reason to hold a pack back."""
    seen = the("from-nine-feet", "wide before the eyes", "screen")
    assert (seen.status, seen.kind) == (Status.WATCH, Kind.TASTE)
    assert fails("from-nine-feet") == set()


def wide_100() -> None:
    """A floor that nobody measured fails no case; that its boards fit no sheet is a fact."""
    assert the("wide-100", "feet can be levelled", "base").status is Status.WATCH
    assert the("wide-100", "feet can be levelled", "base").kind is not Kind.SAFETY
    assert {key[0] for key in fails("wide-100")} == {"boards fit a sheet"}


def fem_d() -> None:
    """Gear stands at the front of a shelf on pins. Engine: 1.16 mm after years of 0.95."""
    shelf = the("fem-D", "sag", "shelf-1")
    assert shelf.status is Status.FAIL
    assert "front edge" in shelf.why
    assert the("fem-D", "sag", "top").status is Status.OK


def fem_e() -> None:
    """The let-in back stiffens the top: engine 1.43 of 1.47 mm at 10 K above the room.

    The air of the same report is 16.5 K above it under the top, where plywood creeps 1.88 times
    its first sag instead of 1.54: 1.57 mm, 7 % too much, and not for want of a back.
    """
    top = the("fem-E", "sag", "top")
    assert top.status is Status.FAIL
    assert top.measured == pytest.approx(1.57, rel=0.02)
    assert top.required == pytest.approx(1.47, rel=0.01)


def fem_g() -> None:
    """'Top FAIL 15.8 mm after years', without its glued back. Engine with it: 1.24 of 3.47."""
    assert the("fem-G", "sag", "top").status is Status.OK
    shelf = the("fem-G", "sag", "shelf-2")
    assert shelf.status is Status.FAIL
    assert shelf.measured is not None
    assert shelf.measured > 1.52  # in a cool bay; that of gear is warm


def at_a_cap(name: str) -> None:
    """Once more than a minute, or no answer at all: a report comes, and no check gives up."""
    found = report(name)
    assert len(found) > 200
    assert ("can be lifted", "case") in fails(name)


VERDICTS: dict[str, Callable[[], None]] = {
    "beam-far-in": beam_far_in,
    "plate-with-tuner": plate_with_tuner,
    "fan-without-hole": fan_without_hole,
    "thin-plain-doors": thin_plain_doors,
    "ordinary-72": ordinary_72,
    "five-bays-ends": five_bays_ends,
    "from-nine-feet": from_nine_feet,
    "wide-100": wide_100,
    "fem-D": fem_d,
    "fem-E": fem_e,
    "fem-G": fem_g,
}


@pytest.mark.parametrize("name", VERDICTS)
def test_the_verdict(name: str) -> None:
    VERDICTS[name]()


@pytest.mark.slow
@pytest.mark.parametrize("name", LARGE)
def test_a_design_at_a_cap_is_judged(name: str) -> None:
    at_a_cap(name)


def test_every_input_has_its_verdict() -> None:
    there = {path.stem for path in INPUTS.glob("*.toml")} - {"one-sheet"}
    assert there == {*VERDICTS, *LARGE}


def test_every_finding_about_a_thing_names_its_boards() -> None:
    """A board that a finding is about is one that it names."""
    for name in VERDICTS:
        for finding in report(name):
            if finding.subject in piece(name).by_name:
                assert finding.subject in finding.boards, finding.key
