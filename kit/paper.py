"""The papers that plans are printed on."""

from enum import Enum

from kit.units import System


class Paper(Enum):
    """Papers to print on. Sources: iso-216 for A4 and A3, ansi-y14-1 for Letter and Tabloid."""

    A4 = "a4"
    A3 = "a3"
    LETTER = "letter"
    TABLOID = "tabloid"

    @property
    def width(self) -> float:
        """Its longer side, mm: every page lies on it."""
        return _SIZES[self][0]

    @property
    def height(self) -> float:
        """Its shorter side, mm."""
        return _SIZES[self][1]

    @classmethod
    def usual(cls, units: System) -> "Paper":
        """What most printers hold where these units are in use."""
        return cls.LETTER if units is System.INCH else cls.A4


_SIZES = {
    Paper.A4: (297.0, 210.0),
    Paper.A3: (420.0, 297.0),
    Paper.LETTER: (279.4, 215.9),
    Paper.TABLOID: (431.8, 279.4),
}
