"""Rack figures, plugs and holes against what is published.

Sources: EIA-310 reference pages and a rack manual (text read); bend radius of 4-pair
cable, trade article on TIA-568.0-D (text read); IEC 60603-7 plug size (from memory); users'
accounts and manuals of receivers (text read); sizes of gear and plugs from memory.
"""

from collections.abc import Iterator
from functools import partial
from math import hypot

import pytest

from kit import cabling, gear
from kit.cabling import Connector
from kit.gear import GearKind
from kit.sources import Kind, Seen, Source, source
from published import Figure, by, each, held, share

IN = 25.4
RECEIVER = gear.gear_kind("receiver")
HDMI = cabling.connector("hdmi")

# key, width, height, diagonal, source; the diagonal is worked out
PLUGS = [
    ("hdmi", 21, 11, 23.7, "memory"),  # the moulding
    ("mains-c13", 28, 21, 35.0, "iec-60320"),
    ("mains-plug-straight", 28, 26, 38.2, "memory"),
    ("ethernet", 11.7, 8.3, 14.3, "iec-60603-7"),
]

# kind, width, height, depth, mm: ranges from memory (receiver '17 in class': users' accounts)
SIZES = [
    ("receiver", (430, 440), (60, 200), (320, 430)),
    ("game-console", (95, 440), (60, 400), (200, 390)),
    ("disc-player", (360, 430), (40, 70), (200, 300)),
    ("soundbar", (600, 1300), (55, 85), (85, 150)),
    ("centre-speaker", (400, 600), (140, 220), (180, 350)),
    ("router", (150, 300), (40, 60), (100, 250)),
    ("ups", (100, 330), (80, 250), (250, 400)),
]


def plugs(key: str) -> Iterator[Figure]:
    for name, width, height, _, told in PLUGS:
        if told == key:
            row = cabling.connector(name)
            yield Figure(f"{name}, width of the plug", "mm", width, lambda r=row: r.plug_width_mm)
            yield Figure(
                f"{name}, height of the plug", "mm", height, lambda r=row: r.plug_height_mm
            )


def holes() -> Iterator[Figure]:
    for name, *_, hole, _ in PLUGS:
        row: Connector = cabling.connector(name)
        what = f"{name}, smallest hole: the diagonal of the plug"
        yield Figure(what, "mm", hole, lambda r=row: r.hole_mm, by(0.05))


def sizes() -> Iterator[Figure]:
    for key, *ranges in SIZES:
        for name, (least, most) in zip(("width", "height", "depth"), ranges, strict=True):
            for which, told in (("min", least), ("max", most)):
                size = partial(getattr, gear.gear_kind(key), f"{name}_{which}_mm")
                yield Figure(f"{key}, {name}, {which}", "mm", told, size)


def clearances(key: str, told: dict[str, float]) -> Iterator[Figure]:
    row = gear.clearance(key)
    for side, mm in told.items():
        clear = partial(getattr, row, f"{side}_mm")
        yield Figure(f"clearance '{key}', {side}", "mm", mm, clear, share(1e-6))


EIA, MEMORY = source("eia-310"), source("memory")
QUOTED = Source(
    key="clearances-quoted",
    title="Clearances as owners, installers and an amplifier manual quote them",
    kind=Kind.ACCOUNT,
    seen=Seen.TEXT,
)
DIAGONALS = Source(
    key="diagonals",
    title="Diagonals of the plugs, worked apart from the kit",
    kind=Kind.COMPUTED,
    seen=Seen.OWN,
)
PUBLISHED = {
    EIA: [
        *(
            Figure(f"{units}U", "mm", inches * IN, partial(gear.rack_height_mm, units), share(1e-6))
            for units, inches in ((1, 1.75), (2, 3.5), (4, 7.0), (42, 73.5))
        ),
        Figure("panel, 19 in", "mm", 19 * IN, lambda: gear.RACK_PANEL_WIDTH_MM, share(1e-6)),
        # 17.75 in is quoted, 450 mm is the figure of the standard
        Figure("opening, 17.75 in quoted", "mm", 17.75 * IN, lambda: gear.RACK_OPENING_MM, by(1)),
        Figure(
            "hole centres, 18.312 in",
            "mm",
            18.312 * IN,
            lambda: gear.RACK_HOLE_CENTRES_MM,
            by(0.05),
        ),
        *(
            Figure(
                f"step {step + 1} of the holes of a unit",
                "mm",
                told * IN,
                lambda step=step: gear.RACK_HOLE_STEPS_MM[step],
                share(1e-6),
            )
            for step, told in enumerate((1 / 2, 5 / 8, 5 / 8))
        ),
        *(
            # up to 1/32 in less than its units, never more
            Figure(
                f"{key}, height of the panel, {which}",
                "mm",
                (units * 44.45 - 1.0, units * 44.45),
                partial(getattr, gear.gear_kind(key), f"height_{which}_mm"),
            )
            for key, units in (("rack-amplifier-1u", 1), ("rack-box-2u", 2))
            for which in ("min", "max")
        ),
        *(
            Figure(f"{key}, width", "mm", 482.6, lambda key=key: gear.gear_kind(key).width_mm)
            for key in ("rack-amplifier-1u", "rack-box-2u")
        ),
    ],
    source("tia-568"): [
        *(
            Figure(
                f"{key}, inside bend over diameter",
                "",
                4,
                lambda key=key: cabling.connector(key).bend_factor,
            )
            for key in ("ethernet", "ethernet-6a")
        ),
        Figure(
            "patch cable, bend radius",
            "mm",
            25,
            lambda: cabling.connector("ethernet").bend_radius_mm,
            by(1),
        ),
    ],
    source("iec-60320"): [*plugs("iec-60320")],
    source("iec-60603-7"): [*plugs("iec-60603-7")],
    DIAGONALS: [*holes()],
    MEMORY: [
        *plugs("memory"),
        Figure("hdmi, bend over diameter", "", (8, 10), lambda: HDMI.bend_factor),
        Figure("hdmi, diameter of the cable", "mm", (7, 9), lambda: HDMI.cable_od_mm),
        Figure("hdmi, bend radius", "mm", (60, 80), lambda: HDMI.bend_radius_mm),
        # the outer shell is 8.25 mm (text read), the barrel wider
        Figure("rca, barrel", "mm", (10, 14), lambda: cabling.connector("rca").hole_mm),
        *sizes(),
        Figure(
            "receiver, heat over plate",
            "",
            (0.3, 0.4),
            lambda: (RECEIVER.typical_w or 0) / (RECEIVER.plate_w or 1),
        ),
    ],
    source("builders-accounts"): [
        Figure(
            "receiver, height with aerials up",
            "mm",
            235,
            lambda: RECEIVER.height_mm + RECEIVER.antenna_up_mm,
            share(1e-6),
        ),
        Figure("receiver, plate", "W", (500, 1040), lambda: RECEIVER.plate_w or 0),
        Figure("receiver, idle", "W", (35, 120), lambda: RECEIVER.idle_w or 0),
    ],
    source("receiver-manuals"): [
        Figure("receiver, air it takes in", "°C", 40, lambda: RECEIVER.max_intake_c or 0)
    ],
    QUOTED: [
        # owners: 2 in all round; installers: 5 to 6 in above, 2 to 3 in beside; an amplifier
        # manual: 6 in behind; owners quoting makers: 12 cm above, 5 cm beside
        *clearances("lax", {"side": 2 * IN, "top": 2 * IN, "back": 2 * IN}),
        *clearances("strict", {"side": 3 * IN, "top": 6 * IN, "back": 6 * IN}),
        *clearances("manuals-quoted", {"side": 50, "top": 120}),
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


def test_the_three_steps_of_the_holes_make_one_unit():
    assert sum(gear.RACK_HOLE_STEPS_MM) == pytest.approx(gear.rack_height_mm(1))


@pytest.mark.parametrize("key", ["rack-amplifier-1u", "rack-box-2u"])
def test_a_rack_panel_is_no_lower_than_its_least(key):
    row: GearKind = gear.gear_kind(key)
    assert row.height_min_mm <= row.height_max_mm


@pytest.mark.parametrize(("width_mm", "height_mm", "hole_mm"), [row[1:4] for row in PLUGS])
def test_the_smallest_hole_is_the_diagonal_of_the_plug(width_mm, height_mm, hole_mm):
    assert hypot(width_mm, height_mm) == pytest.approx(hole_mm, abs=0.06)


def test_a_receiver_heats_less_than_a_worked_upper_bound():
    # worked example, 7 x 100 W at 1/8 and 25 % efficiency leaves 262.5 W
    assert RECEIVER.typical_w < 7 * 100 / 8 / 0.25 - 7 * 100 / 8


def test_makers_that_are_quoted_say_nothing_of_the_back():
    assert gear.clearance("manuals-quoted").back_mm is None
