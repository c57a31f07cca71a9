"""Pictures of the air, and the check after moving in: what they show and that they repeat."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given

from kit.casework import Casework
from kit.checks.airflow import Heat, climate, evening, in_words, size_vents
from kit.draw.airflow import COLOURS, elevation, ink_on, shade_of
from kit.draw.heat_plots import evening_plot, rise_plot
from kit.making.commissioning import CAUTIONS, commissioning
from profiles import LISTS, examples
from strategies import built

type Rebuild = Callable[[dict[str, Any]], Casework]


def texts(svg: str) -> list[str]:
    return [e.text or "" for e in ET.fromstring(svg).iter() if e.tag.endswith("text")]


def test_every_zone_says_its_temperature(example: Casework) -> None:
    for bay in (None, 1, 2, 3):
        state = climate(example, open_bay=bay)
        words = " ".join(texts(elevation(state)))
        for air_c in state.air_c:
            assert in_words(air_c) in words
        # nothing stands before the middle bay
        assert ("doors shut" in words) is (bay in (None, 2))


def test_arrows_carry_the_flow_of_the_model(example: Casework) -> None:
    state = climate(example)
    words = texts(elevation(state))
    # the open middle bay: in low and out high through its front
    (front,) = [
        flows
        for opening, flows in zip(state.network.openings, state.flows_m3_h, strict=True)
        if opening.kind.value == "open front"
    ]
    for flow in front:
        assert f"{flow:.0f}" in words


def test_the_map_is_even_and_reads_in_grey(example: Casework) -> None:
    grey = []
    for step in range(21):
        shade = shade_of(25.0 + step / 2, 25.0, 35.0)
        r, g, b = (int(shade[i : i + 2], 16) for i in (1, 3, 5))
        grey.append(0.2126 * r + 0.7152 * g + 0.0722 * b)
        # figures stand out from it (contrast of WCAG, 4.5 for small text; bold and large 3)
        ink = 255 if ink_on(shade) == "#ffffff" else 27
        light = [((v / 255) ** 2.2 + 0.05) for v in (ink, grey[-1])]
        assert max(light) / min(light) > 3.0
    assert all(b > a for a, b in pairwise(grey))
    assert COLOURS == "cividis"


def test_pictures_repeat_and_bear_no_date(rebuilt: Rebuild) -> None:
    work = rebuilt({"gear.1.bay": 1, "room.wall_gap": "150 mm"})
    state, hot = climate(work), work.gear[0]
    size = size_vents(state, hot, 40.0, uncertain=0.0)
    for draw in (
        lambda: elevation(state),
        lambda: rise_plot(state, hot, size),
        lambda: evening_plot(evening(state)),
    ):
        first = draw()
        assert first == draw()
        assert not re.search(r"<dc:date>|\b20\d\d-\d\d-\d\d\b", first)
        ET.fromstring(first)


def test_the_plot_marks_what_was_chosen(rebuilt: Rebuild) -> None:
    work = rebuilt(
        {"gear.1.bay": 1, "room.wall_gap": "150 mm", "back.panels": [{"bays": [1, 2, 3]}]}
    )
    state, hot = climate(work), work.gear[0]
    size = size_vents(state, hot, 45.0, uncertain=0.0)
    assert size.each_mm2
    words = " ".join(texts(rise_plot(state, hot, size)))
    assert f"chosen: {size.each_mm2 / 100:.0f} cm² each" in words
    assert "limit 40 °C" in words


def test_names_in_pictures_are_escaped(rebuilt: Rebuild) -> None:
    work = rebuilt({"name": "<b>&", "gear.1.name": "$x_1$ & <i>"})
    ET.fromstring(elevation(climate(work)))
    words = " ".join(texts(evening_plot(evening(climate(work)))))
    assert "$x_1$ & <i>" in words


@examples(LISTS)
@given(built())
def test_any_console_can_be_drawn(made: tuple[Any, Casework]) -> None:
    for element in ET.fromstring(elevation(climate(made[1], Heat.TYPICAL))).iter():
        for value in element.attrib.values():
            assert not re.search(r"\b(nan|inf)\b", value)


# --- the check after moving in ---------------------------------------------------------


def test_a_reading_for_each_device(example: Casework) -> None:
    readings = commissioning(example)
    # the power strip draws in no air and gives off no heat
    breathing = [p for p in example.gear if p.kind.key != "power-strip"]
    assert [r.device for r in readings] == [p.item.name for p in breathing]
    state = climate(example)
    film = evening(state, 3.0)
    for reading, placed in zip(readings, breathing, strict=True):
        assert reading.limit_c == placed.kind.max_intake_c
        zone = state.here.holding(placed)
        assert reading.film_k == pytest.approx(float(film.air_c[-1, zone]) - 25.0)
        assert reading.first_k is not None
        assert 0.0 < reading.first_k < reading.film_k
        words = reading.sentence(25.0)
        assert "45 min" in words
        assert f"{reading.limit_c:g} °C" in words
    assert "doors shut" not in readings[0].where
    assert "doors shut" in readings[1].where


def test_the_cautions_are_there() -> None:
    words = " ".join(CAUTIONS)
    for wanted in ("manual", "local codes", "Never block", "dust", "Switch off"):
        assert wanted in words


def test_a_speaker_needs_no_thermometer(rebuilt: Rebuild) -> None:
    speaker = {"name": "centre speaker", "kind": "centre-speaker", "bay": 2}
    assert commissioning(rebuilt({"gear": [speaker]})) == ()
