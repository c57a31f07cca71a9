"""Were the devices measured, or is their size only typical of their kind?"""

from collections.abc import Iterator

from kit.casework import Casework
from kit.checks.clearance import source_of
from kit.finding import Finding, Sense, judge


def check_device_sizes(casework: Casework) -> Iterator[Finding]:
    """How many of the three sizes of each device the maker gave; unknown where not all."""
    for row, placed in enumerate(casework.gear, start=1):
        name = placed.item.name
        if placed.measured:
            why = f"The sizes of {name} are given."
        elif placed.margin:
            why = (
                f"The sizes of {name} come from a retailer and may be off by up to "
                f"{casework.say(placed.margin)}, which is added to each. Measure it and leave out "
                f"gear.{row}.sizes."
            )
        else:
            item = placed.item
            high = item.height if item.rack_units is None else item.rack_units
            sizes = (("width", item.width), ("height", high), ("depth", item.depth))
            lacks = [f"gear.{row}.{size}" for size, said in sizes if said is None]
            why = (
                f"The size of {name} is only typical ({placed.kind.label}). Measure it and write "
                f"{' and '.join(lacks)}."
            )
        yield judge(
            "device size",
            name,
            3.0 if placed.measured else None,
            3.0,
            sense=Sense.AT_LEAST,
            unit="sizes",
            why=why,
            source=source_of(placed),
        )
