"""Writes lengths: rounded once, to whole ticks of the tape."""

import math
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from kit.errors import UnitError
from kit.units.systems import INCH, KEPT, LONGEST_MM, MM_PER_INCH, Rounding, Step, System

_NOISE_MM = 1e-9
_SPECK_MM3 = 20.0
#: A pound-force: the pound of 0.45359237 kg (1959) under standard gravity, N.
_LBF_N = 0.45359237 * 9.80665

type Say = Callable[[float], str]
"""Writes a length in mm for whoever will read it: `Casework.say`, or `in_both`."""


def text(
    mm: float,
    system: System,
    *,
    step: Step = Step.JOINT,
    rounding: Rounding = Rounding.NEAREST,
    unit: bool = True,
) -> str:
    """Write a length in millimetres for a reader: "2 3/4 in", "-1/2 in", "18.3 mm", "0 in".

    Rounds to a whole tick of `step`, the nearest unless `rounding` says otherwise; half a tick
    goes away from zero, so that a length and its opposite print alike. Noise under a billionth
    of a millimetre is dropped first, so that a computed half tick counts as one. Zero has no
    sign; a metric value drops a trailing .0; a caliper inch keeps its three places.
    `unit=False` leaves the unit off.
    Raises UnitError for nan and infinity.

    >>> text(69.85, System.INCH), text(18.34, System.METRIC)
    ('2 3/4 in', '18.3 mm')
    >>> text(69.9, System.INCH, step=Step.BOARD, rounding=Rounding.UP)
    '2 25/32 in'
    """
    return _written(float(mm), system, step, rounding, unit)


@lru_cache(maxsize=KEPT)
def _written(mm: float, system: System, step: Step, rounding: Rounding, unit: bool) -> str:
    printed = _ticks(mm, system, step, rounding) * step.tick(system)
    size = abs(printed)
    if system is System.METRIC:
        words = digits(Decimal(size.numerator) / Decimal(size.denominator))
    elif step is Step.CALIPER:
        words = f"{size:.3f}"
    else:
        words = mixed(size)
    sign = "-" if printed < 0 else ""
    return f"{sign}{words} {system.value}" if unit else sign + words


def decimal(mm: float, system: System, *, least: float | None = None, unit: bool = True) -> str:
    """Write a thickness, groove or bore: "0.719 in" to 0.001 in, "18.3 mm" to 0.1 mm.

    It is never written smaller than `least` mm: where the nearest tick is, the next one up.
    `unit=False` leaves the unit off.
    """
    step, rounding = Step.CALIPER, Rounding.NEAREST
    if least is not None and mm + residue(mm, system, step=step) < least - _NOISE_MM:
        rounding = Rounding.UP
    return text(mm, system, step=step, rounding=rounding, unit=unit)


def spoken(mm: float, system: System) -> str:
    """A length in a sentence: as the tape reads it from 1 in up and at nought, else in decimals.

    >>> spoken(69.85, System.INCH), spoken(5.0, System.INCH), spoken(18.34, System.METRIC)
    ('2 3/4 in', '0.197 in', '18.3 mm')
    """
    on_tape = mm == 0 or abs(mm) >= MM_PER_INCH
    return text(mm, system) if on_tape else decimal(mm, system)


def in_both(mm: float) -> str:
    """A length for makers of either system, where it is not known which: in errors.

    >>> in_both(533.4), in_both(12.19)
    ('533.4 mm (21 in)', '12.19 mm (0.480 in)')
    """
    return f"{digits(Decimal(f'{mm:.2f}'))} mm ({spoken(mm, System.INCH)})"


def slight(mm: float, system: System) -> str:
    """A difference too small for the tape, with its sign if it is short of nought.

    >>> slight(0.34, System.INCH), slight(-0.66, System.METRIC)
    ('0.013 in', '-0.66 mm')
    """
    return decimal(mm, system) if system is System.INCH else f"{mm:.2f} mm"


def cubic(mm3: float, system: System) -> str:
    """A volume, to three digits; what no rule or caliper shows is told in cubic millimetres.

    >>> cubic(388_800.0, System.INCH), cubic(388_800.0, System.METRIC)
    ('23.7 in³', '389 cm³')
    """
    if 0 < abs(mm3) < _SPECK_MM3:
        return f"{mm3:.3g} mm³"
    if system is System.INCH:
        return f"{mm3 / MM_PER_INCH**3:.3g} in³"
    return f"{mm3 / 1000:.3g} cm³"


def force(newtons: float, system: System) -> str:
    """A force to three digits: pounds-force in a shop of inches, else newtons.

    >>> force(100.0, System.INCH), force(100.0, System.METRIC)
    ('22.5 lbf', '100 N')
    """
    if system is System.INCH:
        return f"{newtons / _LBF_N:.3g} lbf"
    return f"{newtons:.3g} N"


def residue(
    mm: float,
    system: System,
    *,
    step: Step = Step.JOINT,
    rounding: Rounding = Rounding.NEAREST,
) -> float:
    """Printed minus true, in millimetres: what `text` with the same step adds to the length."""
    return float(_printed_mm(mm, system, step, rounding) - _without_noise(mm))


def exact(mm: float, system: System = System.METRIC) -> str:
    """Write a length so that `length` reads back the identical float, for design files.

    With System.INCH a whole number of 64ths is written as an inch fraction, as long as that
    too reads back identically; anything else is written in millimetres. Lengths under
    1e-30 mm count as zero. Raises UnitError for nan and beyond 100 m either way.
    """
    mm = float(mm)
    if not abs(mm) <= LONGEST_MM:
        raise UnitError(f"length {mm} mm cannot be written: keep it within 100 m either way.")
    if system is System.INCH and float(_printed_mm(mm, system, Step.FINE)) == mm:
        return text(mm, system, step=Step.FINE)
    return f"{digits(Decimal(repr(mm)) if abs(mm) >= 1e-30 else Decimal(0))} mm"


def _ticks(mm: float, system: System, step: Step, rounding: Rounding = Rounding.NEAREST) -> int:
    """The whole number of ticks that a length is written as."""
    ticks = _without_noise(mm) / (step.tick(system) * _unit_mm(system))
    if rounding is Rounding.DOWN:
        return math.floor(ticks)
    if rounding is Rounding.UP:
        return math.ceil(ticks)
    nearest = math.floor(abs(ticks) + Fraction(1, 2))
    return -nearest if ticks < 0 else nearest


def _printed_mm(
    mm: float, system: System, step: Step, rounding: Rounding = Rounding.NEAREST
) -> Fraction:
    return _ticks(mm, system, step, rounding) * step.tick(system) * _unit_mm(system)


def _without_noise(mm: float) -> Fraction:
    if not math.isfinite(mm):
        raise UnitError(f"length {mm} mm cannot be written: a length has to be a finite number.")
    return Fraction(repr(round(float(mm), 9)))


def mixed(number: Fraction) -> str:
    """A positive number as whole and reduced fraction: "2 3/4", "3/4", "2", "0"."""
    whole, rest = divmod(number, 1)
    parts = [str(whole)] if whole or not rest else []
    return " ".join(parts + [str(rest)] * bool(rest))


def digits(number: Decimal) -> str:
    """Plain digits: no exponent, no trailing zeros, no signed zero."""
    plain = f"{number:f}"
    if "." in plain:
        plain = plain.rstrip("0").rstrip(".")
    return "0" if plain == "-0" else plain


def _unit_mm(system: System) -> Fraction:
    return INCH if system is System.INCH else Fraction(1)
