"""A design file on the desk: its text, what it says, and what is built from it."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kit.casework import Casework, build
from kit.components.made import Bay
from kit.design import Design
from kit.design_file import parse, rewrite
from kit.errors import BuildError, DesignFileError
from kit.toml_text import Value
from kit.units import Step, System, length, text

#: What an edit changes: the path of a field in the file, and its value, or None to take it out.
type Changes = dict[str, Value | None]


@dataclass(frozen=True, slots=True)
class Draft:
    """The text of a design file with its values as written, read and built."""

    said: str
    plain: Mapping[str, Any]
    casework: Casework

    @classmethod
    def of(cls, said: str) -> "Draft":
        """The draft of a text. Raises KitError where it cannot be read or built."""
        casework = build(parse(said))
        plain = tomllib.loads(said)
        for name, field in Design.model_fields.items():
            if field.alias and name in plain:
                raise DesignFileError(
                    f"The file names its list {name!r}, where edits look for {field.alias!r}; "
                    f"write [[{field.alias}]]."
                )
        return cls(said, plain, casework)

    @property
    def design(self) -> Design:
        """What the file says."""
        return self.casework.design

    def written(self, mm: float) -> str:
        """A length as a maker writes it: the nearest 1/16 in, or the nearest 0.5 mm."""
        system = self.design.shop.units
        return text(mm, system, step=Step.OVERALL if system is System.INCH else Step.BOARD)

    def or_as_was(self, mm: float, was: float) -> str | None:
        """As `written`; None where that stands no nearer to the length than what there was."""
        words = self.written(mm)
        return words if abs(length(words) - mm) < abs(was - mm) - 1e-9 else None

    def usual(self, inch: str, metric: str) -> str:
        """The one of two round lengths that is written in the units of the design."""
        return inch if self.design.shop.units is System.INCH else metric

    def bay(self, number: int) -> Bay:
        """A bay by its number. Raises BuildError where there is none."""
        bays = self.casework.bays
        if not 1 <= number <= len(bays):
            raise BuildError(
                f"There is no bay {number}: the case has {len(bays)}; "
                "name one of those, counted from the left."
            )
        return bays[number - 1]

    def count(self, what: str, number: int, rows: int) -> None:
        """Raises BuildError where there is no row of that number."""
        if not 1 <= number <= rows:
            raise BuildError(
                f"There is no {what} {number}: the design has {rows}; name one that is there."
            )

    def with_changes(self, changes: Changes) -> str:
        """The text with these changes, read and built. Raises KitError where it is neither."""
        said = rewrite(self.said, changes)
        build(parse(said))
        return said


def left_to_right(design: Design) -> list[int]:
    """The rows of the dividers, from nought, as they stand from left to right."""
    return sorted(range(len(design.dividers)), key=lambda row: design.dividers[row].at)
