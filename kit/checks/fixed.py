"""Does the design keep within the sizes that it calls fixed?"""

from collections.abc import Iterator

from kit.casework import Casework
from kit.design_file import value_at
from kit.finding import Finding, Fix, Sense, judge
from kit.units import exact


def check_fixed(casework: Casework) -> Iterator[Finding]:
    """Each length of the design that `[fixed]` bounds, above or below; unknown where left out."""
    design, say = casework.design, casework.say
    for limits, sense in (
        (design.fixed.at_most, Sense.AT_MOST),
        (design.fixed.at_least, Sense.AT_LEAST),
    ):
        for path, limit in limits.items():
            value = value_at(design, path)
            known = isinstance(value, int | float)
            short = known and (value - limit if sense is Sense.AT_MOST else limit - value) > 1e-6
            yield judge(
                "within what is fixed",
                path,
                float(value) if known else None,
                limit,
                sense=sense,
                unit="mm",
                why=f"{path} is {say(value)}, and {sense.value} {say(limit)} is fixed."
                if known
                else f"{path} is bounded by [fixed], and the design leaves it out; write it.",
                source="design-file",
                fix=Fix(path, exact(limit, design.shop.units)) if short else None,
            )
