"""Rack figures, plugs and holes against what is published.

Sources: EIA-310 reference pages and a rack manual (text read); bend radius of 4-pair
cable, trade article on TIA-568.0-D (text read); IEC 60603-7 plug size (from memory).
"""

from math import hypot

import pytest

from kit import cabling, gear

IN = 25.4


@pytest.mark.parametrize(("units", "height_in"), [(1, 1.75), (2, 3.5), (4, 7.0), (42, 73.5)])
def test_rack_units(units, height_in):
    assert gear.rack_height_mm(units) == pytest.approx(height_in * IN)


def test_rack_panel_opening_and_holes():
    assert pytest.approx(19 * IN) == gear.RACK_PANEL_WIDTH_MM
    # 17.75 in is quoted, 450 mm is the figure of the standard
    assert pytest.approx(17.75 * IN, abs=1.0) == gear.RACK_OPENING_MM
    assert pytest.approx(18.312 * IN, abs=0.05) == gear.RACK_HOLE_CENTRES_MM
    # 1/2, 5/8, 5/8 in: the three steps make one unit
    assert pytest.approx((IN / 2, IN * 5 / 8, IN * 5 / 8)) == gear.RACK_HOLE_STEPS_MM
    assert sum(gear.RACK_HOLE_STEPS_MM) == pytest.approx(gear.rack_height_mm(1))


@pytest.mark.parametrize("key", ["rack-amplifier-1u", "rack-box-2u"])
def test_rack_gear_fits_whole_units(key):
    row = gear.gear_kind(key)
    units = 1 if key.endswith("1u") else 2
    assert row.width_mm == 482.6
    # a panel may be up to 1/32 in less than its units, never more
    assert units * 44.45 - 1.0 <= row.height_min_mm <= row.height_max_mm <= units * 44.45


@pytest.mark.parametrize(
    ("key", "width_mm", "height_mm", "hole_mm"),
    [
        ("hdmi", 21, 11, 23.7),  # moulding from memory
        ("mains-c13", 28, 21, 35.0),  # IEC 60320, from memory
        ("mains-plug-straight", 28, 26, 38.2),  # from memory
        ("ethernet", 11.7, 8.3, 14.3),  # IEC 60603-7, from memory
    ],
)
def test_the_smallest_hole_is_the_diagonal_of_the_plug(key, width_mm, height_mm, hole_mm):
    row = cabling.connector(key)
    assert (row.plug_width_mm, row.plug_height_mm) == (width_mm, height_mm)
    assert hypot(width_mm, height_mm) == pytest.approx(hole_mm, abs=0.06)
    assert row.hole_mm == pytest.approx(hole_mm, abs=0.06)


def test_data_cable_bends_at_four_diameters():
    # 4 x OD inside, about 25 mm for a Cat 6A patch cable: trade article on TIA-568.0-D
    for key in ("ethernet", "ethernet-6a"):
        assert cabling.connector(key).bend_factor == 4
    assert cabling.connector("ethernet").bend_radius_mm == pytest.approx(25, abs=1)


def test_hdmi_needs_six_to_eight_centimetres_of_bend():
    # 8 to 10 x OD, 60 to 80 mm for cables of 7 to 9 mm; from memory
    row = cabling.connector("hdmi")
    assert 8 <= row.bend_factor <= 10
    assert 7 <= row.cable_od_mm <= 9
    assert 60 <= row.bend_radius_mm <= 80


def test_an_rca_plug_is_wider_than_its_shell():
    # outer shell 8.25 mm (text read), barrel 10 to 14 mm (from memory)
    assert 10 <= cabling.connector("rca").hole_mm <= 14


@pytest.mark.parametrize(
    ("key", "width", "height", "depth"),
    [
        ("receiver", (430, 440), (60, 200), (320, 430)),
        ("game-console", (95, 440), (60, 400), (200, 390)),
        ("disc-player", (360, 430), (40, 70), (200, 300)),
        ("soundbar", (600, 1300), (55, 85), (85, 150)),
        ("centre-speaker", (400, 600), (140, 220), (180, 350)),
        ("router", (150, 300), (40, 60), (100, 250)),
        ("ups", (100, 330), (80, 250), (250, 400)),
    ],
)
def test_gear_stays_within_the_sizes_that_are_sold(key, width, height, depth):
    # ranges from memory (receiver '17 in class': users' accounts)
    row = gear.gear_kind(key)
    assert (row.width_min_mm, row.width_max_mm) == width
    assert (row.height_min_mm, row.height_max_mm) == height
    assert (row.depth_min_mm, row.depth_max_mm) == depth


def test_receiver_figures():
    row = gear.gear_kind("receiver")
    # user's account: 17 cm tall, 23.5 cm with the aerials up
    assert row.height_mm + row.antenna_up_mm == pytest.approx(235)
    # users' accounts: plates 500 to 1040 W, 35 to 120 W idle; manuals: not above 40 C
    assert 500 <= row.plate_w <= 1040
    assert 35 <= row.idle_w <= 120
    assert row.max_intake_c == 40
    # design default, from memory: heat 30 to 40 % of the plate
    assert 0.3 * row.plate_w <= row.typical_w <= 0.4 * row.plate_w
    # worked example, 7 x 100 W at 1/8 and 25 % efficiency leaves 262.5 W: an upper bound
    assert row.typical_w < 7 * 100 / 8 / 0.25 - 7 * 100 / 8


def test_clearances_as_quoted():
    # owners: 2 in all round; installers: 5 to 6 in above, 2 to 3 in beside; an amplifier
    # manual: 6 in behind; owners quoting makers: 12 cm above, 5 cm beside
    lax, strict = gear.clearance("lax"), gear.clearance("strict")
    assert (lax.side_mm, lax.top_mm, lax.back_mm) == pytest.approx((2 * IN,) * 3)
    assert (strict.side_mm, strict.top_mm, strict.back_mm) == pytest.approx(
        (3 * IN, 6 * IN, 6 * IN)
    )
    quoted = gear.clearance("manuals-quoted")
    assert (quoted.side_mm, quoted.top_mm, quoted.back_mm) == (50, 120, None)
