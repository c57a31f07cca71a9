"""Reading and writing lengths. The outside check is tests/outside/test_inch_fractions.py."""

import math
import re
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel, TypeAdapter, ValidationError

from kit.errors import KitError, UnitError
from kit.units import (
    MM_PER_INCH,
    Step,
    System,
    decimal,
    exact,
    length,
    residue,
    text,
)
from kit.units.fields import Length, NonNegativeLength, PositiveLength

LONGEST_MM = 100_000.0
NOISE_MM = 1e-9
lengths_mm = st.floats(-LONGEST_MM, LONGEST_MM).filter(lambda mm: mm == 0 or abs(mm) >= 1e-30)


# --- reading: accepted ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "mm"),
    [
        ("2 3/4 in", 69.85),
        ('2-3/4"', 69.85),
        ("2-3/4 in", 69.85),
        ("5' 3-1/2\"", 1612.9),
        ("5'3 1/2\"", 1612.9),
        ("5'-3 1/2\"", 1612.9),
        ("5 ft 3-1/2 in", 1612.9),
        ("5 feet 3 inches", 1600.2),
        ("5' 3/4\"", 1543.05),
        ("5' 3.5\"", 1612.9),
        ("-5' 3-1/2\"", -1612.9),
        ("5'", 1524.0),
        ("1 foot", 304.8),
        ("5.5 ft", 1676.4),
        ("5 1/2 ft", 1676.4),
        ("¾ in", 19.05),
        ("2¾ in", 69.85),
        ("2 ¾ in", 69.85),
        ("2-¾ in", 69.85),
        ("-¾ in", -19.05),
        ("⅞”", 22.225),
        ("18 mm", 18.0),
        ("18mm", 18.0),
        ("18 MM", 18.0),
        ("  18   mm ", 18.0),
        ("1.2 m", 1200.0),
        ("12 cm", 120.0),
        ("1/2 m", 500.0),
        ('0.703"', 17.8562),
        ('.703"', 17.8562),
        ("23/32 in", 18.25625),
        ("1/3 in", 25.4 / 3),
        ("-3 mm", -3.0),
        ("−3 mm", -3.0),
        ("+3 mm", 3.0),
        ("0 mm", 0.0),
        ("-0 mm", 0.0),
        ("1 inch", 25.4),
        ("2 inches", 50.8),
        ("3 in.", 76.2),
        ("5 ft. 3 in.", 1600.2),
        ("5′ 3″", 1600.2),
        ("5’ 3”", 1600.2),
        ("5' 3''", 1600.2),
        ("2 3⁄4 in", 69.85),
        ("2\N{NO-BREAK SPACE}3/4\N{NARROW NO-BREAK SPACE}in", 69.85),
        ("2\N{NON-BREAKING HYPHEN}3/4 in", 69.85),
        ("100 m", 100_000.0),
        ("-100 m", -100_000.0),
    ],
)
def test_reads(words: str, mm: float) -> None:
    assert length(words) == mm


def test_a_vulgar_fraction_is_never_joined_to_its_whole_number() -> None:
    for words in ("1½ in", "1 ½ in", "1-½ in"):
        assert length(words) == 38.1
    with pytest.raises(UnitError):
        length("½1 in")


@given(
    sign=st.sampled_from(["", "-", "+"]),
    whole=st.integers(0, 200),
    power=st.integers(1, 7),
    data=st.data(),
)
def test_every_spelling_of_a_mixed_number_is_the_same_length(
    sign: str, whole: int, power: int, data: st.DataObject
) -> None:
    under = 2**power
    over = data.draw(st.integers(0, under - 1))
    true_mm = (-1 if sign == "-" else 1) * (whole + Fraction(over, under)) * Fraction(127, 5)
    for between in (" ", "-"):
        for unit in (" in", "in", '"', " inches", "″"):
            assert length(f"{sign}{whole}{between}{over}/{under}{unit}") == float(true_mm)
    feet, inches = divmod(whole, 12)
    assert length(f"{sign}{feet}' {inches}-{over}/{under}\"") == float(true_mm)


REGISTRIES = {
    "float": pint.UnitRegistry(),
    "fraction": pint.UnitRegistry(non_int_type=Fraction),
    "decimal": pint.UnitRegistry(non_int_type=Decimal),
}


@pytest.mark.parametrize(
    ("registry", "magnitude", "unit", "mm"),
    [
        ("float", 18, "mm", 18.0),
        ("float", 23 / 32, "inch", 18.25625),
        ("float", Fraction(23, 32), "inch", 18.25625),
        ("float", -1.2, "m", -1200.0),
        ("float", 5, "foot", 1524.0),
        ("fraction", Fraction(23, 32), "inch", 18.25625),
        ("fraction", Fraction(11, 4), "inch", 69.85),
        ("decimal", Decimal("0.703"), "inch", 17.8562),
    ],
)
def test_reads_a_pint_quantity_of_any_registry(
    registry: str, magnitude: Any, unit: str, mm: float
) -> None:
    result = length(REGISTRIES[registry].Quantity(magnitude, unit))
    assert type(result) is float
    assert result == mm


# --- reading: refused -----------------------------------------------------------------

EXAMPLES = ("18 mm", "2 3/4 in")


def refusal(value: object) -> str:
    with pytest.raises(UnitError) as caught:
        length(value, what="shelf depth")
    return str(caught.value)


@pytest.mark.parametrize(
    ("value", "problem", "offers"),
    [
        ("18", "has no unit", ("18 mm", "18 in")),
        ("0", "has no unit", ("0 mm", "0 in")),
        ("-18", "has no unit", ("-18 mm", "-18 in")),
        ("2 3/4", "has no unit", ("2 3/4 mm", "2 3/4 in")),
        (18, "has no unit", ("18 mm", "18 in")),
        (18.5, "has no unit", ("18.5 mm", "18.5 in")),
        (Fraction(-11, 4), "has no unit", ("-2 3/4 mm", "-2 3/4 in")),
        (Decimal("0.703"), "has no unit", ("0.703 mm", "0.703 in")),
        (REGISTRIES["float"].Quantity(0.75), "has no unit", ("0.75 mm", "0.75 in")),
        ("5' 3", "has no unit at its end", ("5 ft 3 in",)),
        ("1,5 mm", "separator", ("1.5 mm", "15 mm")),
        ("1,5", "separator", ("1.5 mm", "1.5 in")),
        ("1,500 mm", "separator", ("1.500 mm", "1500 mm")),
        ("1 500 mm", "separator", ("1.500 mm", "1500 mm")),
        ("1_500 mm", "separator", ("1.500 mm", "1500 mm")),
        ("1,234.5 mm", "separator", ("1234.5 mm", "1.2345 mm")),
        ("1.234,5 mm", "separator", ("1.2345 mm", "1234.5 mm")),
        ("2,3/4 in", "separator", ("2 3/4 in", "23/4 in")),
        ("2 3 in", "separator", ("2.3 in", "23 in")),
        ("2 5/4 in", "fraction of 1 or more", ("3 1/4 in", "25/4 in")),
        ("2 4/4 in", "fraction of 1 or more", ("3 in", "24/4 in")),
        ("1.5/2 in", "decimal in a fraction", ("3/4 in", "15/2 in")),
        ("18 cubits", "in none of the units", ("18 mm", "18 in")),
        ("4 kg", "in none of the units", ("4 mm", "4 in")),
        ("120 m", "more than 100 m", ("120 mm", "120 in")),
        # nothing to guess from: the two examples
        ("200000 mm", "more than 100 m", EXAMPLES),
        ("100000.001 mm", "more than 100 m", EXAMPLES),
        ("3/0 in", "0 below the line", EXAMPLES),
        ("0/0 in", "0 below the line", EXAMPLES),
        ("2 1/00 in", "0 below the line", EXAMPLES),
        ("5' 12\"", "12 in or more", EXAMPLES),
        ("5' 30 mm", "mixes ft with mm", EXAMPLES),
        ("nan", "not a finite number", EXAMPLES),
        ("nan mm", "not a finite number", EXAMPLES),
        ("-inf in", "not a finite number", EXAMPLES),
        (math.nan, "not one number", EXAMPLES),
        (-math.inf, "not one number", EXAMPLES),
        (1e300, "not one number", EXAMPLES),
        (10**5000, "not one number", EXAMPLES),
        (Decimal("NaN"), "not one number", EXAMPLES),
        (2j, "not one number", EXAMPLES),
        ("", "is empty", EXAMPLES),
        (" \N{NO-BREAK SPACE}", "is empty", EXAMPLES),
        (None, "is missing", EXAMPLES),
        (True, "is not a length", EXAMPLES),
        (b"18 mm", "is not a length", EXAMPLES),
        (["18 mm"], "is not a length", EXAMPLES),
        ("9" * 79 + " mm", "longer than 80 characters", EXAMPLES),
        ("mm", "cannot be read", EXAMPLES),
        ("1e3 mm", "cannot be read", EXAMPLES),
        ("3/4 3/4 in", "cannot be read", EXAMPLES),
        ("٣ mm", "cannot be read", EXAMPLES),
        (REGISTRIES["float"].Quantity(3, "kilogram"), "is not a length", EXAMPLES),
        (REGISTRIES["decimal"].Quantity(3, "kilogram"), "is not a length", EXAMPLES),
        (REGISTRIES["float"].Quantity(3, "mm**2"), "is not a length", EXAMPLES),
        (REGISTRIES["float"].Quantity(90, "degree"), "is not a length", EXAMPLES),
        (REGISTRIES["float"].Quantity(math.nan, "mm"), "not one number", EXAMPLES),
        (REGISTRIES["float"].Quantity([1, 2], "mm"), "not one number", EXAMPLES),
        (REGISTRIES["float"].Quantity(1, "km"), "not one number up to 100 m", EXAMPLES),
    ],
    ids=lambda value: repr(value)[:24] if not isinstance(value, int) else "",
)
def test_refuses_with_the_value_and_the_likely_readings(
    value: object, problem: str, offers: tuple[str, ...]
) -> None:
    message = refusal(value)
    assert message.startswith("shelf depth ")
    assert problem in message
    advice = re.fullmatch(r'.*: write (?:for example )?"(.+)"\.', message, re.DOTALL)
    assert advice is not None
    assert tuple(advice[1].split('" or "')) == offers
    assert len({length(offer) for offer in offers} - {0.0}) in (len(offers), 0)
    assert len(message) < 200


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        ("1,5 mm", "'1,5 mm'"),
        (18, " 18 "),
        (None, " None "),
        ("x" * 5000, "xxx...xxx"),
        ("18\n\x00", r"'18\n\x00'"),
        (REGISTRIES["float"].Quantity(3, "kilogram"), "'3 kilogram'"),
    ],
)
def test_a_refusal_shows_the_value(value: object, shown: str) -> None:
    assert shown in refusal(value)


def test_the_error_is_the_kits_own_and_a_value_error() -> None:
    with pytest.raises(KitError, match="length '18'") as caught:
        length("18")
    assert isinstance(caught.value, ValueError)


@given(st.one_of(st.text(), st.text("0123456789 .,/-'\"½¾inmcft+_", max_size=20)))
def test_any_text_is_read_within_the_bound_or_refused_with_good_offers(words: str) -> None:
    try:
        mm = length(words)
    except UnitError as error:
        offers = str(error).rpartition(": write ")[2].removeprefix("for example ")
        for offer in offers.removesuffix(".").strip('"').split('" or "'):
            length(offer)
    else:
        assert math.isfinite(mm)
        assert abs(mm) <= LONGEST_MM
        assert re.search(r"[a-z'\"′″’”‘“ʹʺ.]\s*$", words.lower())  # no unit, no reading


# --- writing --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mm", "step", "inch", "metric"),
    [
        (0.0, Step.JOINT, "0 in", "0 mm"),
        (-0.0, Step.JOINT, "0 in", "0 mm"),
        (69.85, Step.JOINT, "2 3/4 in", "69.9 mm"),
        (18.25625, Step.JOINT, "23/32 in", "18.3 mm"),
        (18.25625, Step.OVERALL, "3/4 in", "18 mm"),
        (18.25625, Step.CALIPER, "0.719 in", "18.3 mm"),
        (18.0, Step.JOINT, "23/32 in", "18 mm"),
        (18.0, Step.FINE, "45/64 in", "18 mm"),
        (-12.7, Step.JOINT, "-1/2 in", "-12.7 mm"),
        (-69.85, Step.JOINT, "-2 3/4 in", "-69.9 mm"),
        (-0.04, Step.OVERALL, "0 in", "0 mm"),
        # rounding carries into the whole number before the split
        (25.39, Step.JOINT, "1 in", "25.4 mm"),
        (50.79, Step.OVERALL, "2 in", "51 mm"),
        # half a tick goes away from zero, in decimal as written and not as stored
        (0.05, Step.JOINT, "0 in", "0.1 mm"),
        (0.15, Step.JOINT, "0 in", "0.2 mm"),
        (-0.15, Step.JOINT, "0 in", "-0.2 mm"),
        (0.1 + 0.05, Step.JOINT, "0 in", "0.2 mm"),
        (2.5, Step.OVERALL, "1/8 in", "3 mm"),
        (25.4 / 64, Step.JOINT, "1/32 in", "0.4 mm"),
        (3 * 25.4 / 32, Step.OVERALL, "1/8 in", "2 mm"),
        (19.05, Step.CALIPER, "0.750 in", "19.1 mm"),
    ],
)
def test_writes(mm: float, step: Step, inch: str, metric: str) -> None:
    assert text(mm, System.INCH, step=step) == inch
    assert text(mm, System.METRIC, step=step) == metric


def test_leaves_the_unit_off() -> None:
    assert text(69.85, System.INCH, unit=False) == "2 3/4"
    assert text(69.85, System.METRIC, unit=False) == "69.9"


def test_decimal_is_caliper_writing() -> None:
    assert decimal(17.8562, System.INCH) == "0.703 in"
    assert decimal(-17.8562, System.INCH) == "-0.703 in"
    assert decimal(17.8562, System.METRIC) == "17.9 mm"
    assert decimal(18.0, System.METRIC) == "18 mm"


@pytest.mark.parametrize("write", [text, decimal, residue, exact])
@pytest.mark.parametrize("mm", [math.nan, math.inf, -math.inf])
def test_never_writes_what_is_not_a_number(write: Any, mm: float) -> None:
    with pytest.raises(UnitError, match=f"{mm} mm cannot be written"):
        write(mm, System.METRIC)


any_system = st.sampled_from(System)
any_step = st.sampled_from(Step)


def tick_mm(step: Step, system: System) -> Fraction:
    return step.tick(system) * (Fraction(127, 5) if system is System.INCH else 1)


@given(st.floats(-99_000, 99_000), any_system, any_step)
def test_what_is_written_reads_back_within_half_a_tick(
    mm: float, system: System, step: Step
) -> None:
    words = text(mm, system, step=step)
    printed_mm = length(words)
    assert abs(printed_mm - mm) <= float(tick_mm(step, system)) / 2 + NOISE_MM
    assert printed_mm - mm == pytest.approx(residue(mm, system, step=step), abs=NOISE_MM)
    assert text(printed_mm, system, step=step) == words
    assert not re.match(r"-0(?:\.0+)? ", words)


@given(st.floats(0, 99_000), any_system, any_step)
def test_a_length_and_its_opposite_print_alike(mm: float, system: System, step: Step) -> None:
    words = text(mm, system, step=step)
    assert text(-mm, system, step=step) == (f"-{words}" if length(words) else words)


@given(st.integers(-2000, 2000), any_system, any_step)
def test_whole_ticks_have_no_residue(ticks: int, system: System, step: Step) -> None:
    assert residue(float(ticks * tick_mm(step, system)), system, step=step) == 0.0


@given(st.integers(0, 6400))
def test_inch_fractions_are_in_lowest_terms(ticks: int) -> None:
    words = text(ticks * MM_PER_INCH / 64, System.INCH, step=Step.FINE, unit=False)
    if "/" in words:
        over, under = map(int, words.split()[-1].split("/"))
        assert over % 2 == 1
        assert under in (2, 4, 8, 16, 32, 64)


@pytest.mark.parametrize("system", System)
@given(lengths_mm)
def test_exact_reads_back_to_the_identical_float(system: System, mm: float) -> None:
    assert length(exact(mm, system)) == mm


@given(st.integers(-250_000, 250_000))
def test_exact_writes_64ths_as_inches_only_when_asked(ticks: int) -> None:
    mm = length(f"{ticks}/64 in")
    assert exact(mm, System.INCH).endswith(" in")
    assert length(exact(mm, System.INCH)) == mm
    assert exact(mm).endswith(" mm")


def test_exact_examples() -> None:
    assert exact(18.25625) == "18.25625 mm"
    assert exact(18.25625, System.INCH) == "23/32 in"
    assert exact(18.0) == "18 mm"
    assert exact(18.0, System.INCH) == "18 mm"
    assert exact(1e-7) == "0.0000001 mm"
    assert exact(-0.0) == "0 mm"
    assert exact(5e-324) == "0 mm"
    with pytest.raises(UnitError, match=r"100001\.0 mm cannot be written"):
        exact(100_001)


# --- fields of a model ----------------------------------------------------------------


class Shelf(BaseModel):
    depth: PositiveLength
    setback: NonNegativeLength = 0.0
    offset: Length = 0.0
    lip: PositiveLength | None = None
    stations: tuple[Length, ...] = ()


def test_a_field_holds_millimetres() -> None:
    shelf = Shelf.model_validate(
        {"depth": "11 3/4 in", "offset": "-3 mm", "stations": ["2 in", "1 m"]}
    )
    assert (shelf.depth, shelf.offset) == (298.45, -3.0)
    assert shelf.stations == (50.8, 1000.0)
    assert shelf.model_dump()["depth"] == 298.45


def test_json_of_a_model_reads_back() -> None:
    shelf = Shelf.model_validate({"depth": "23/32 in", "lip": "1/3 in"})
    dumped = shelf.model_dump(mode="json")
    assert dumped["depth"] == "18.25625 mm"
    assert Shelf.model_validate(dumped) == shelf
    assert Shelf.model_validate_json(shelf.model_dump_json()) == shelf


@pytest.mark.parametrize(
    ("given_", "message"),
    [
        ({"depth": "18"}, 'depth \'18\' has no unit: write "18 mm" or "18 in".'),
        ({"depth": 18}, 'depth 18 has no unit: write "18 mm" or "18 in".'),
        (
            {"depth": "0 in"},
            'depth \'0 in\' has to be more than 0 mm: write for example "18 mm" or "2 3/4 in".',
        ),
        (
            {"depth": "1 m", "setback": "-1/2 in"},
            "setback '-1/2 in' cannot be less than 0 mm: "
            'write for example "18 mm" or "2 3/4 in".',
        ),
        (
            {"depth": "{mm} in"},
            'depth \'{mm} in\' cannot be read: write for example "18 mm" or "2 3/4 in".',
        ),
    ],
)
def test_the_message_of_a_field_is_clean(given_: dict[str, object], message: str) -> None:
    with pytest.raises(ValidationError) as caught:
        Shelf.model_validate(given_)
    (error,) = caught.value.errors()
    assert error["msg"] == message
    assert error["type"] == "length"


def test_a_length_without_a_field_is_just_a_length() -> None:
    assert TypeAdapter(NonNegativeLength).validate_python("0 mm") == 0.0
    with pytest.raises(ValidationError, match="length '3' has no unit"):
        TypeAdapter(Length).validate_python("3")


@pytest.mark.parametrize("mode", ["validation", "serialization"])
def test_the_schema_is_text_with_examples_that_read(mode: Any) -> None:
    schema = Shelf.model_json_schema(mode=mode)["properties"]
    for name in ("depth", "setback", "offset"):
        assert schema[name]["type"] == "string"
        assert "unit" in schema[name]["description"]
        assert all(length(example) > 0 for example in schema[name]["examples"])
