"""Mains: leads, sockets, loads, and the plug behind the case. Sums are worked out here by hand."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from kit import sources
from kit.casework import Casework
from kit.checks.power import CAUTION, PLATE, check_power
from kit.finding import Finding, Status
from kit.gear import gear_kind

type Rebuild = Callable[[dict[str, Any]], Casework]

STRIP = {"name": "power strip", "kind": "power-strip", "bay": 3}


def found(work: Casework, check: str) -> dict[str, Finding]:
    return {f.subject: f for f in check_power(work) if f.check == check}


def lead(start: str, end: str, kind: str = "mains-c7") -> dict[str, str]:
    return {"from": start, "to": end, "kind": kind}


def measured(work: Casework, number: int, **values: Any) -> Casework:
    """The same piece with other data of one device."""
    gear = list(work.gear)
    gear[number] = replace(gear[number], kind=replace(gear[number].kind, **values))
    return replace(work, gear=tuple(gear))


def test_the_example_has_power(example: Casework) -> None:
    findings = list(check_power(example))
    assert {f.status for f in findings} == {Status.OK}
    assert all(sources.source(f.source) for f in findings)
    takes = {f.subject for f in findings if f.check == "device has power"}
    assert takes == {g.item.name for g in example.gear} - {"streaming box"}  # fed by USB


# --- leads ----------------------------------------------------------------------------


def test_a_design_without_cables_is_unknown_once(rebuilt: Rebuild) -> None:
    (finding,) = check_power(rebuilt({"cable": []}))
    assert finding.status is Status.UNKNOWN
    assert "[[cable]]" in finding.why
    assert list(check_power(rebuilt({"gear": []}))) == []


def test_a_device_without_its_lead_is_unknown(rebuilt: Rebuild) -> None:
    work = rebuilt({"cable": [lead("power strip", "outlet", "mains-strip")]})
    status = {name: f.status for name, f in found(work, "device has power").items()}
    assert status.pop("power strip") is Status.OK
    assert set(status) == {
        "receiver", "disc player", "network switch", "box adaptor", "switch adaptor",
    }  # fmt: skip
    assert set(status.values()) == {Status.UNKNOWN}


def test_a_lead_may_be_named_from_either_end(rebuilt: Rebuild) -> None:
    work = rebuilt({"cable": [lead("power strip", "receiver", "mains-c13")]})
    assert found(work, "device has power")["receiver"].status is Status.OK
    assert found(work, "sockets for the plugs")["power strip"].required == 1


# --- strips ---------------------------------------------------------------------------


def many(count: int) -> dict[str, Any]:
    gear = [{"name": f"player {n}", "kind": "disc-player", "on": "top"} for n in range(count)]
    return {
        "gear": [STRIP, *gear],
        "cable": [lead(item["name"], "power strip") for item in gear],
    }


@pytest.mark.parametrize(("count", "status"), [(6, Status.OK), (7, Status.FAIL)])
def test_the_sockets_of_a_strip_are_counted(rebuilt: Rebuild, count: int, status: Status) -> None:
    work = rebuilt(many(count))
    finding = found(work, "sockets for the plugs")["power strip"]
    assert (finding.measured, finding.required) == (6, count)
    assert finding.status is status


def test_wide_plugs_cover_their_neighbours(rebuilt: Rebuild) -> None:
    # plugs 28 mm wide: 40 mm apart each has one socket, 25 mm apart each takes two
    work = rebuilt(many(4))
    for pitch, taken, status in (
        (40.0, 4, Status.OK),
        (25.0, 8, Status.FAIL),
        (None, None, Status.UNKNOWN),
    ):
        finding = found(measured(work, 0, socket_pitch_mm=pitch), "plugs cover no other socket")[
            "power strip"
        ]
        assert finding.required == taken
        assert finding.status is status


def test_the_load_of_a_strip_is_the_sum_of_the_plates(example: Casework) -> None:
    finding = found(example, "strip carries the load")["power strip"]
    # of its kind for the receiver, as the design says for the player and the two adaptors
    assert finding.measured == (gear_kind("receiver").plate_w or 0.0) + 25 + 10 + 15
    assert gear_kind("receiver").plate_w == 500
    assert finding.required == 1800
    assert CAUTION in finding.why


def test_a_load_over_the_rating_fails(rebuilt: Rebuild) -> None:
    work = rebuilt({"gear.1.plate_w": 1800.0})
    assert found(work, "strip carries the load")["power strip"].status is Status.FAIL


def test_a_plate_that_nobody_read_is_unknown(rebuilt: Rebuild) -> None:
    work = measured(rebuilt({}), 0, plate_w=None)
    finding = found(work, "strip carries the load")["power strip"]
    assert finding.status is Status.UNKNOWN
    assert "receiver" in finding.why


def test_a_rating_that_nobody_read_is_unknown(rebuilt: Rebuild) -> None:
    work = measured(rebuilt(many(2)), 0, rating_w=None)
    assert found(work, "strip carries the load")["power strip"].status is Status.UNKNOWN


def test_a_strip_on_a_strip_fails_and_counts_with_its_load(rebuilt: Rebuild) -> None:
    gear = [STRIP, STRIP | {"name": "second"}, {"name": "amplifier", "kind": "receiver", "bay": 2}]
    cables = [
        lead("amplifier", "second", "mains-c13"),
        lead("second", "power strip", "mains-strip"),
        lead("power strip", "outlet", "mains-strip"),
    ]
    work = rebuilt({"gear": gear, "cable": cables})
    assert found(work, "strip plugs into the wall")["second"].status is Status.FAIL
    assert found(work, "strip plugs into the wall")["power strip"].status is Status.OK
    loads = found(work, "strip carries the load")
    assert loads["power strip"].measured == loads["second"].measured == 500


def test_strips_in_a_ring_are_counted_once(rebuilt: Rebuild) -> None:
    gear = [STRIP, STRIP | {"name": "second"}]
    cables = [
        lead("second", "power strip", "mains-strip"),
        lead("power strip", "second", "mains-strip"),
    ]
    work = rebuilt({"gear": gear, "cable": cables})
    assert {f.measured for f in found(work, "strip carries the load").values()} == {0}


# --- the wall -------------------------------------------------------------------------


def test_leads_to_the_wall_are_counted(rebuilt: Rebuild) -> None:
    strip = lead("power strip", "outlet", "mains-strip")
    for count, status in ((2, Status.OK), (3, Status.FAIL)):
        names = ["disc player", "box adaptor"][: count - 1]
        work = rebuilt({"cable": [strip, *(lead(name, "outlet") for name in names)]})
        finding = found(work, "outlets for the plugs")["wall"]
        assert (finding.measured, finding.required) == (2, count)
        assert finding.status is status


@pytest.mark.parametrize(
    ("kind", "gap", "status"),
    [
        # flat plug 18 mm, the lead leaves along the wall; plate 6 mm
        ("mains-strip", "23 mm", Status.FAIL),
        ("mains-strip", "25 mm", Status.WATCH),
        ("mains-strip", "31 mm", Status.OK),
        # straight plug 40 mm, bend (5 + 1) x 7.5 mm
        ("mains-c7", "90 mm", Status.FAIL),
        ("mains-c7", "98 mm", Status.OK),
    ],
)
def test_the_plug_behind_a_divider(rebuilt: Rebuild, kind: str, gap: str, status: Status) -> None:
    outlet = {"across": "22 1/2 in", "up": "14 in"}
    work = rebuilt(
        {
            "room.outlets": [outlet],
            "room.wall_gap": gap,
            "cable": [lead("power strip", "outlet", kind)],
            "back": None,
        }
    )
    finding = found(work, "plug fits behind the case")["outlet 1"]
    assert finding.boards == ("divider-1",)
    assert finding.measured == pytest.approx(float(gap.split()[0]))
    wanted = {"mains-strip": 18.0, "mains-c7": 40.0 + 6 * 7.5}[kind]
    assert finding.required == pytest.approx(wanted + PLATE)
    assert finding.status is status
    reach = found(work, "outlet can be reached")["outlet 1"]
    assert reach.status is Status.WATCH
    assert "divider-1" in reach.why


def test_an_outlet_in_the_baseboard_is_nearer(rebuilt: Rebuild) -> None:
    free = []
    for height in ("4 in", "16 in"):
        work = rebuilt(
            {
                "room.outlets": [{"across": "10 in", "up": "14 in"}],
                "room.baseboard_height": height,
            }
        )
        free.append(found(work, "plug fits behind the case")["outlet 1"].measured)
    assert free[0] - free[1] == pytest.approx(5 / 8 * 25.4)


@pytest.mark.parametrize(
    ("across", "up", "status"),
    [
        ("30 in", "12 in", Status.OK),
        ("10 in", "14 in", Status.WATCH),
        ("90 in", "14 in", Status.OK),
    ],
)
def test_an_outlet_behind_a_panel_is_hard_to_reach(
    rebuilt: Rebuild, across: str, up: str, status: Status
) -> None:
    work = rebuilt({"room.outlets": [{"across": across, "up": up}]})
    finding = found(work, "outlet can be reached")["outlet 1"]
    assert finding.status is status
    if status is Status.WATCH:
        assert "take the panel off" in finding.why
