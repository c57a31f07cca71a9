"""Devices and media find their place, and what the maker says of a device is what is used."""

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given

from kit.casework import Casework
from kit.components.gear_item import RETAILER_MARGIN
from kit.errors import BuildError, DesignFileError, TableError
from kit.gear import Face, gear_kind, gear_kinds
from profiles import CONSOLE, examples
from strategies import built

type Rebuild = Callable[[dict[str, Any]], Casework]


def test_what_the_maker_says_goes_before_the_table(rebuilt: Rebuild) -> None:
    changes = {"gear.1.depth": "400 mm", "gear.1.typical_w": 90, "gear.1.intake": ["front"]}
    changes |= {"gear.1.plugs": ["hdmi-right-angle"], "cable": []}
    receiver = rebuilt(changes).gear[0]
    assert receiver.body.size[1] == pytest.approx(400)
    assert receiver.kind.typical_w == 90
    assert receiver.kind.intake == (Face.FRONT,)
    assert receiver.plug.key == "hdmi-right-angle"
    assert receiver.kind.plate_w == gear_kind("receiver").plate_w  # the rest is of its kind


def test_rack_units_make_the_height(rebuilt: Rebuild) -> None:
    # 1U = 44.45 mm (EIA-310)
    changes = {"gear.1.kind": "rack-box-2u", "gear.1.rack_units": 3}
    assert rebuilt(changes).gear[0].body.size[2] == pytest.approx(3 * 44.45)


def test_folded_aerials_take_no_height(rebuilt: Rebuild) -> None:
    up, folded = rebuilt({}).gear[0], rebuilt({"gear.1.antennas_folded": True}).gear[0]
    # a receiver 170 mm high is 235 mm high with its antennas up (a builder's account)
    assert up.antennas is not None
    assert up.antennas.hi[2] - up.body.lo[2] == pytest.approx(235)
    assert folded.antennas is None


def test_retailer_sizes_carry_a_margin(rebuilt: Rebuild) -> None:
    sizes = {f"gear.1.{side}": "400 mm" for side in ("width", "height", "depth")}
    said = rebuilt(sizes | {"gear.1.sizes": "retailer"}).gear[0]
    assert (said.margin, said.measured) == (RETAILER_MARGIN, False)
    measured = rebuilt(sizes | {"gear.1.sizes": None}).gear[0]
    assert (measured.margin, measured.measured) == (0.0, True)


def test_a_plug_on_a_cable_of_unknown_thickness_decides(rebuilt: Rebuild) -> None:
    receiver = rebuilt({"gear.1.plugs": ["hdmi", "lead-unknown"]}).gear[0]
    assert receiver.plug.key == "lead-unknown"
    assert receiver.rear is None


def test_gear_may_stand_on_the_top(rebuilt: Rebuild) -> None:
    work = rebuilt({"gear.1.bay": None, "gear.1.on": "top"})
    lid, receiver = work.frame.top.box, work.gear[0]
    assert receiver.bay is None
    assert receiver.body.lo[2] == lid.hi[2]
    assert receiver.body.lo[0] == pytest.approx((lid.lo[0] + lid.hi[0] - 435) / 2)


def test_a_shelf_alone_says_which_bay(rebuilt: Rebuild) -> None:
    player = rebuilt({"gear.2.bay": None}).gear[1]
    assert player.bay is not None
    assert (player.bay.number, player.item.on) == (1, "shelf-1")


def test_the_kit_finds_places(rebuilt: Rebuild) -> None:
    free = {f"gear.{n}.{key}": None for n in (1, 2, 3, 4) for key in ("bay", "on")}
    receiver, player, box, switch, *_ = rebuilt(free).gear
    assert all(placed.arranged for placed in (receiver, player, box, switch))
    assert receiver.bay is not None
    # hot and heavy, and the middle bay has neither doors nor a shelf
    assert (receiver.bay.number, receiver.item.on) == (2, "bottom")
    # no room beside it for a player that wants 2 in at each side, so it goes behind a door
    assert player.bay is not None
    assert player.bay.number != 2
    for placed in (receiver, player, box, switch):
        assert min(placed.free_left, placed.free_right) > 0


def test_a_hot_device_goes_above_a_cool_one(rebuilt: Rebuild) -> None:
    low = {"bay": 1, "clear_below": "200 mm", "rear_gap": "50 mm"}
    gear = [
        {"name": "router", "kind": "router"},
        {"name": "cable box", "kind": "cable-box", "typical_w": 40},
    ]
    for bay in (1, 3):
        gear.append({"name": f"row {bay}", "kind": "power-strip", "bay": bay})
    work = rebuilt({"divider": [{"at": "39 in"}], "doors.layout": "bypass", "gear": gear}
        | {"shelf": [low], "back": None, "hole": []} | {"gear.4.bay": 2})  # fmt: skip
    hot = work.gear[1]
    assert hot.item.on == "shelf-1"


def test_places_that_are_not_there_are_named(rebuilt: Rebuild) -> None:
    with pytest.raises(BuildError, match="shelf-9"):
        rebuilt({"gear.1.bay": None, "gear.1.on": "shelf-9"})
    with pytest.raises(BuildError, match="leave one of the two out"):
        rebuilt({"gear.1.on": "top", "gear.1.bay": 1})
    with pytest.raises(TableError, match="receiver"):
        rebuilt({"gear.1.on": "bottom", "gear.1.kind": "reciever"})
    with pytest.raises(DesignFileError, match=r"gear\.1\.intake"):
        rebuilt({"gear.1.intake": ["sideways"]})


def test_media_stand_at_the_rear_and_weigh(rebuilt: Rebuild) -> None:
    rows = [{"kind": "records", "bay": 3, "length": "12 in"}, {"kind": "books", "bay": 1}]
    records, books = rebuilt({"content": rows}).media
    assert records.mass_kg == pytest.approx(0.3048 * 52)
    # 100 records weigh 35-50 lb (builders' accounts); 3 to 4 mm each makes 300 to 400 mm of them
    for stack_m in (0.3, 0.4):
        low, high = records.kind.load_min_kg_m * stack_m, records.kind.load_max_kg_m * stack_m
        assert low <= 50 * 0.4536
        assert high >= 35 * 0.4536
    # 20 lb/ft is typical of books, 25 lb/ft was measured (a state's school office)
    assert books.kind.load_kg_m == pytest.approx(20 * 0.45359 / 0.3048, rel=0.01)
    assert books.kind.load_max_kg_m == pytest.approx(25 * 0.45359 / 0.3048, rel=0.01)
    assert records.box.hi[1] == records.space.hi[1]
    assert books.box.size[0] == pytest.approx(books.space.size[0])


def test_every_kind_says_how_it_breathes() -> None:
    for kind in gear_kinds().values():
        if (kind.typical_w or 0) > 5 and kind.key != "power-brick":
            assert kind.intake, kind.key
            assert kind.exhaust, kind.key


@examples(CONSOLE)
@given(built())
def test_placing_never_changes_a_device(made: tuple[Any, Casework]) -> None:
    work = made[1]
    for placed in work.gear:
        kind = placed.kind
        assert placed.body.size == pytest.approx((kind.width_mm, kind.depth_mm, kind.height_mm))
        assert placed.body.lo[2] == placed.space.lo[2]
        assert placed.free_left + placed.free_right <= placed.space.size[0] - kind.width_mm + 1e-6


@pytest.mark.parametrize("name", ["receiver", "outlet", "screen"])
def test_a_name_means_one_thing(rebuilt: Rebuild, name: str) -> None:
    with pytest.raises(BuildError, match=r"gear\.2\.name"):
        rebuilt({"gear.2.name": name, "cable": []})


def test_a_name_is_more_than_blanks(rebuilt: Rebuild) -> None:
    with pytest.raises(DesignFileError, match="write a name"):
        rebuilt({"gear.2.name": "  ", "cable": []})


def test_the_kit_puts_no_device_into_records(rebuilt: Rebuild) -> None:
    free = {"gear": [{"name": "receiver", "kind": "receiver"}], "cable": []}
    assert rebuilt(free).gear[0].item.bay == 2
    filled = rebuilt(free | {"content": [{"kind": "records", "bay": 2}]})
    assert filled.gear[0].item.bay != 2
