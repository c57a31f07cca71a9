"""Verdicts on air that were once wrong, each by the design that showed it.

The designs in `inputs/` are small and made up; what they have to come to is argued beside each
test.
"""

import re
from collections.abc import Callable
from dataclasses import replace
from math import pi
from pathlib import Path
from typing import Any

import pytest

from kit.casework import Casework, build
from kit.checks import cable_fill
from kit.checks.airflow import (
    Heat,
    Network,
    OpeningKind,
    check_airflow,
    climate,
    quick_rules,
    read_network,
)
from kit.checks.airflow.climates import own_heat_w
from kit.checks.airflow.surface import board_rises
from kit.checks.strength.sag import rises
from kit.components import gear_item
from kit.design_file import parse
from kit.finding import Finding, Status
from kit.hardware import fan_kind
from kit.joinery import Hole, HoleRow, Purpose
from kit.making.buy_list import buy_list
from kit.making.set_ups import set_up_sheet
from kit.making.steps import steps

type Rebuild = Callable[[dict[str, Any]], Casework]

INPUTS = Path(__file__).parent / "inputs"
PLATE = "intake air at plate load"


def read(name: str) -> Casework:
    return build(parse((INPUTS / name).read_text(encoding="utf-8")))


def about(work: Casework, check: str) -> list[Finding]:
    return [f for f in check_airflow(work, cable_fill(work)) if f.check == check]


# --- plate load, every device -----------------------------------------------------------


def test_a_console_behind_a_shut_door_fails_beside_a_cool_tuner() -> None:
    """A harmless tuner with the lower limit once hid that the game console reaches 90 °C."""
    work = read("plate-with-tuner.toml")
    failing = [f for f in about(work, PLATE) if f.status is Status.FAIL]
    assert [f.subject for f in failing] == ["console"]
    assert failing[0].measured == pytest.approx(90.0, abs=5.0)
    others = {f.subject for f in about(work, PLATE) if f.status is not Status.FAIL}
    assert others == {"tuner"}


def test_devices_of_one_bay_stand_in_one_finding(example: Casework) -> None:
    """One cause, one finding: what the air of a bay does to its devices is said once."""
    subjects = [f.subject for f in about(example, PLATE)]
    judged = {p.item.name for p in example.inside if p.kind.max_intake_c is not None}
    assert len(subjects) < len(judged)
    for name in judged:
        assert sum(name in subject for subject in subjects) == 1


def test_a_door_that_stands_before_the_receiver_is_told(example: Casework) -> None:
    """The doors of the end bays reach the open bay between them: slid there they shut it.

    Its air at plate load is then warmer than the receiver bears, by the same model.
    """
    (finding,) = [f for f in about(example, PLATE) if "receiver" in f.subject]
    assert finding.status is Status.WATCH
    before = climate(example, Heat.PLATE, covered_bay=2, cable_fill=cable_fill(example)).intake_c(
        example.gear[0]
    )
    assert before > 40.0
    assert f"it would be {before:.0f} °C: leave none there" in finding.why
    assert "With the doors before bay 2" in finding.why
    # with one door there it is past the limit, too
    one = climate(example, Heat.PLATE, open_bay=1, cable_fill=cable_fill(example))
    assert one.intake_c(example.gear[0]) > 40.0


def test_no_place_of_the_doors_is_a_relief_that_harms_another(example: Casework) -> None:
    """Slid away from bay 1 a door stands before the receiver: that place is not offered."""
    assert all("slid away from bay 1" not in f.why for f in check_airflow(example))


def test_in_use_every_place_of_the_doors_counts(rebuilt: Rebuild) -> None:
    """440 W in the open bay: well while the doors are shut, too warm with a door before it.

    Once 'ok ... 36.5 °C'; now a condition of use, and no ok.
    """
    work = rebuilt({"gear.1.typical_w": 440})
    shut = climate(work, Heat.TYPICAL, cable_fill=cable_fill(work)).intake_c(work.gear[0])
    assert shut < 40.0
    (finding,) = [f for f in about(work, "intake air") if f.subject == "receiver"]
    assert finding.status is Status.WATCH
    assert "With the doors before bay 2" in finding.why


def test_a_fail_offers_no_condition_of_use(rebuilt: Rebuild) -> None:
    shut_in = {
        "back.panels": [{"bays": [1], "holes": []}, {"bays": [2]}, {"bays": [3]}],
        "gear.1.bay": 1,
    }
    for room_c in (16.0, 19.0, 25.0):
        for finding in check_airflow(rebuilt(shut_in | {"room.air_c": room_c})):
            if finding.status is Status.FAIL:
                assert "condition of use" not in finding.why
                assert "slid away" not in finding.why


def test_an_unread_plate_is_one_unknown(rebuilt: Rebuild, monkeypatch: pytest.MonkeyPatch) -> None:
    real = gear_item.gear_kind
    monkeypatch.setattr(
        gear_item,
        "gear_kind",
        lambda key: replace(real(key), plate_w=None) if key == "receiver" else real(key),
    )
    (finding,) = about(rebuilt({}), PLATE)
    assert finding.status is Status.UNKNOWN
    assert "receiver" in finding.subject


# --- bricks -----------------------------------------------------------------------------


def test_a_brick_hands_its_plate_power_on(example: Casework, rebuilt: Rebuild) -> None:
    """What a brick takes from the mains goes to what it feeds, but for its losses."""
    heat = {p.item.name: own_heat_w(example, p, Heat.PLATE) for p in example.inside}
    assert heat["box adaptor"] == pytest.approx(2.0)  # 10 W on its plate feed the box
    assert heat["switch adaptor"] == pytest.approx(3.0)  # a fifth of 15 W
    assert heat["network switch"] == pytest.approx(15.0)
    # a brick that feeds nothing of the design may feed anything: its plate counts in full
    mains = {"from": "box adaptor", "to": "power strip", "kind": "mains-c7"}
    alone = rebuilt({"cable": [mains]})
    (brick,) = [p for p in alone.inside if p.item.name == "box adaptor"]
    assert own_heat_w(alone, brick, Heat.PLATE) == pytest.approx(10.0)


# --- wood -------------------------------------------------------------------------------


def test_wood_above_is_judged_at_plate_load_too(example: Casework, rebuilt: Rebuild) -> None:
    (top,) = [f for f in about(example, "wood above a device") if "receiver" in f.subject]
    state = climate(example, Heat.PLATE, cable_fill=cable_fill(example))
    assert top.measured is not None
    assert top.measured > state.intake_c(example.gear[0])
    assert "500 W" in top.why
    work = read("plate-with-tuner.toml")
    (over,) = [f for f in about(work, "wood above a device") if "console" in f.subject]
    assert over.status is Status.FAIL


def test_creep_takes_its_warmth_from_the_same_air(example: Casework) -> None:
    """No 10 K for whatever gives 30 W: each board is as warm as the air of the report has it."""
    state = climate(example, Heat.TYPICAL, cable_fill=cable_fill(example))
    warm = board_rises(example)
    rise = max(state.air_c) - state.room_c
    assert 0.0 < warm["top"] < rise  # one face of it is in the room
    # a shelf has warm air on both faces, and lies between the two
    levels = sorted(state.air_c[n] - state.room_c for n, _ in state.here.of_bay(1))
    assert levels[0] < warm["shelf-1"] < levels[-1]
    assert rises(example) == pytest.approx(warm)


# --- fans -------------------------------------------------------------------------------


def with_fan(rebuilt: Rebuild, **more: Any) -> Casework:
    fan = {"name": "fan", "bay": 1, "free_flow_m3_h": 40, "max_pressure_pa": 15}
    return rebuilt({"fan": [fan | more]})


def fans_of(net: Network) -> int:
    return sum(o.kind is OpeningKind.FAN for o in net.openings)


def test_a_fan_is_bored_and_bought_and_fitted() -> None:
    """Once it moved 64.6 m³/h with no hole, no row in the buy list and no step."""
    work = read("fan-without-hole.toml")
    (sits,) = work.fans
    panel = work.by_name["back-2"]
    # a hole saw of 4 1/2 in and screws 105 mm apart: sizes of the trade, from memory
    (opening,) = [f for f in panel.features if isinstance(f, Hole)]
    assert opening.diameter == pytest.approx(4.5 * 25.4)
    rows = [f for f in panel.features if isinstance(f, HoleRow) and f.purpose is Purpose.FAN_SCREW]
    centres = [c for row in rows for c in row.centres]
    assert len(centres) == 4
    for along, across in centres:
        assert abs(along - opening.at[0]) == pytest.approx(105 / 2)
        assert abs(across - opening.at[1]) == pytest.approx(105 / 2)
    assert not list(panel.meetings())
    # it lies on the tick of the tape
    assert all(p / (25.4 / 32) == pytest.approx(round(p / (25.4 / 32))) for p in opening.at)
    assert sits.board == "back-2"
    assert fans_of(read_network(work)) == 1
    bought = {row.key: row for row in buy_list(work)}
    assert bought["fan-120"].buy == bought["fan-guard-120"].buy == 1
    assert bought["fan-lead"].buy == bought["fan-supply"].buy == 1
    (screw,) = [row for key, row in bought.items() if key.startswith("screw-m4")]
    assert screw.buy == 4
    (step,) = [s for s in steps(work) if "fan-120" in s.items]
    assert step.boards == ("back-2",)
    assert set(step.items) <= set(bought)
    settings = [s.cutter for s in set_up_sheet(work) if "back-2" in s.boards]
    assert "4-1/2 in hole saw" in settings
    # and what it lacks is said: less than its own opening lets air in
    area = {f.check: f for f in check_airflow(work)}["fan intake area"]
    assert area.status is Status.WATCH
    assert area.measured is not None
    assert area.measured < pi / 4 * 11.43**2


def test_a_fan_that_nothing_holds_moves_nothing(rebuilt: Rebuild) -> None:
    work = with_fan(rebuilt, bay=2)  # the bay without a back
    (held,) = about(work, "fan is held")
    assert held.status is Status.FAIL
    assert "no back panel" in held.why
    assert fans_of(read_network(work)) == 0
    assert climate(work).air_c == climate(rebuilt({"fan": []})).air_c
    assert not any(row.key.startswith("fan") for row in buy_list(work))


def test_a_fan_larger_than_its_place_is_told(rebuilt: Rebuild) -> None:
    low = with_fan(rebuilt, kind="fan-140", at="low")
    assert about(low, "fan is held")[0].status is Status.OK
    small = rebuilt({"shelf.1.clear_below": "3 in"})
    (held,) = about(small, "fan is held")
    assert held.status is Status.FAIL
    assert held.measured == pytest.approx(3 * 25.4, abs=0.5)


def test_a_fan_keeps_clear_of_the_holes_of_its_panel(rebuilt: Rebuild) -> None:
    holes = [{"diameter": "60 mm", "across": "271 mm", "up": "14 in"}]
    work = rebuilt({"back.panels.1.holes": holes})
    work = with_fan(rebuilt)
    (sits,) = work.fans
    assert sits.body is not None
    middle = (work.bays[0].clear.lo[0] + work.bays[0].clear.hi[0]) / 2
    assert abs(sits.body.centre[0] - middle) > 60.0
    assert not list(work.by_name["back-1"].meetings())
    # where the maker says, there it sits
    said = with_fan(rebuilt, across="100 mm", up="250 mm").fans[0].body
    assert said is not None
    low = work.bays[0].clear.lo
    assert said.centre[0] == pytest.approx(low[0] + 100)
    assert said.centre[2] == pytest.approx(low[2] + 250)


def test_a_fan_before_a_device_is_told(rebuilt: Rebuild) -> None:
    work = with_fan(rebuilt, at="low", across="272 mm")
    assert {f.status for f in about(work, "fan stands clear")} == {Status.OK}
    box = {"name": "deep box", "kind": "receiver", "bay": 1, "depth": "440 mm"}
    (clear,) = about(rebuilt({"gear": [box]}), "fan stands clear")
    assert clear.status is Status.FAIL
    assert "deep box" in clear.why


@pytest.mark.parametrize(
    ("key", "apart_mm", "inches"),
    [
        ("fan-80", 71.5, 3.0),
        ("fan-92", 82.5, 3.5),
        ("fan-120", 105.0, 4.5),
        ("fan-140", 124.5, 5.25),
    ],
)
def test_sizes_of_fans(key: str, apart_mm: float, inches: float) -> None:
    """Screw pattern and hole saw of each frame: common knowledge of the trade, from memory."""
    kind = fan_kind(key)
    assert kind.screws_apart_mm == apart_mm
    assert kind.opening_mm == pytest.approx(inches * 25.4, abs=0.01)
    # wood stays between the opening and the screws, and the opening is inside the frame
    assert kind.opening_mm < kind.frame_mm
    assert kind.screws_apart_mm / 2**0.5 - kind.screw_hole_mm / 2 > kind.opening_mm / 2 + 3.0


# --- words ------------------------------------------------------------------------------


def test_temperatures_are_whole_degrees_and_tens_past_eighty(rebuilt: Rebuild) -> None:
    shut = {"back.panels": [{"bays": [n]} for n in (1, 2, 3)], "gear.1.bay": 1, "hole": []}
    hot = rebuilt(shut | {"doors.style": "plain"})
    for finding in check_airflow(hot):
        assert not re.search(r"\d\.\d °C", finding.why)
        if finding.unit == "°C" and finding.measured is not None:
            assert finding.measured == round(finding.measured, -1 if finding.measured > 80 else 0)
    assert max(f.measured or 0.0 for f in about(hot, "intake air")) > 80.0


def test_a_rule_of_thumb_is_no_size_to_build_to(rebuilt: Rebuild) -> None:
    """'Flow by heat gives 20 m³/h where the model moves 3 m³/h; go by the model' read: use 3."""
    shut = {"back.panels": [{"bays": [1]}, {"bays": [2]}, {"bays": [3]}], "gear.1.bay": 1}
    state = climate(rebuilt(shut | {"doors.style": "plain"}))
    notices = [rule.notice for rule in quick_rules(state, state.casework.gear[0]) if rule.notice]
    assert notices
    assert all("neither is a size to build to" in notice for notice in notices)
