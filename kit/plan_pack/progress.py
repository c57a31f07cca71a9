"""How far the making of a pack has come."""

from dataclasses import dataclass
from enum import Enum


class Step(Enum):
    """What a pack is made in, in this order."""

    CHECKS = "checks"
    SHEETS = "sheets"
    LISTS = "lists and labels"
    ROOM = "fit, cables, air and strength"
    PICTURE = "solid kernel and picture"
    VIEWS = "views and sections"
    PARTS = "part drawings"
    APART = "the piece taken apart"
    TEMPLATES = "templates"
    GATE = "release gate"
    PLANS = "plans and solids"
    MANIFEST = "manifest"


@dataclass(frozen=True, slots=True)
class Progress:
    """A step that begins, and of what; sheets are told anew for each stock."""

    step: Step
    subject: str = ""

    @property
    def done(self) -> int:
        """How many steps are done."""
        return list(Step).index(self.step)

    @property
    def of(self) -> int:
        """How many steps there are."""
        return len(Step)

    def __str__(self) -> str:
        return f"{self.step.value}: {self.subject}" if self.subject else self.step.value
