"""The case: its size, bays and shelves."""

from typing import Any

from kit import edits
from kit.components.case import Corner
from kit.components.divider import DividerJoint
from kit.components.shelf import Held
from kit.notebook.design_desk.bench import Bench, Edit, Value, Work
from kit.notebook.design_desk.fields import (
    ChoiceField,
    LengthField,
    NameField,
    NumberField,
    Source,
    at,
)
from kit.notebook.design_desk.groups.tables import AS_CASE, EDGINGS, SHEETS
from kit.notebook.design_desk.parts import (
    Action,
    Choosing,
    Group,
    Picked,
    bay_choice,
    by,
    mm,
    some,
)


def size(bench: Bench) -> Group:
    """Size, sheet goods and corners of the case."""
    width = Source(
        at("case.width").read,
        lambda value: by(edits.case_width_in_proportion, mm(value, "Width")),
    )
    return Group(
        "Size",
        [
            NameField(bench, at("name"), "Name"),
            LengthField(bench, width, "Width", slide=(600, 3000)),
            LengthField(bench, at("case.height"), "Height", slide=(250, 900)),
            LengthField(bench, at("case.depth"), "Depth", slide=(300, 700)),
            ChoiceField(bench, at("case.stock"), "Sheet goods", SHEETS),
            ChoiceField.of(bench, at("case.corner"), "Corner joint", Corner),
            LengthField(bench, at("case.corner_depth"), "Depth of joint"),
            ChoiceField(bench, at("case.edging"), "Front edges", EDGINGS),
        ],
    )


def bays(bench: Bench) -> Group:
    """The bays: widened, parted, joined, made even."""

    def names(work: Work) -> list[str]:
        bays = work.casework.bays
        return [f"bay {b.number}: {work.casework.say(b.clear.size[0])} wide" for b in bays]

    bay = Picked("Bay, from the left", names, "none")

    def picked() -> int:
        return bay.number or 1

    def read(work: Work) -> tuple[Any, str]:
        clear = work.casework.bays[picked() - 1].clear
        return clear.size[0], "Clear width; the other bays share the rest in their proportions."

    def write(value: Value) -> Edit:
        return by(edits.bay_width, picked(), mm(value, "Clear width"))

    def divider() -> str | None:
        """The divider at the right of the bay: bays go from left to right, the file need not."""
        at_mm = [divider.at for divider in bench.work.design.dividers]
        if picked() > len(at_mm):
            return None
        return f"divider.{at_mm.index(sorted(at_mm)[picked() - 1]) + 1}.joint"

    several = some(lambda design: design.dividers)
    return Group(
        "Bays",
        [
            bay.holding(
                LengthField(bench, Source(read, write), "Clear width", slide=(150, 1200)),
                ChoiceField.of(bench, at(divider), "Right divider", DividerJoint),
                Action(
                    bench,
                    "Part this bay in two",
                    "A new divider in the middle of it",
                    lambda: by(edits.add_bay, picked()),
                ),
                Action(
                    bench,
                    "Join it with the next",
                    "Take its divider away; what stands in it goes to the joined bay",
                    lambda: by(edits.remove_bay, picked()),
                    when=several,
                ),
            ),
            Action(
                bench,
                "Make all bays even",
                "The same clear width for each",
                lambda: edits.even_bays,
                when=several,
            ),
        ],
    )


def shelves(bench: Bench) -> Group:
    """The shelves, one at a time."""

    def names(work: Work) -> list[str]:
        return [
            f"shelf-{number}, in bay {shelf.bay}"
            for number, shelf in enumerate(work.design.shelves, start=1)
        ]

    shelf = Picked("Shelf", names, "no shelf yet")
    bay = bay_choice()
    return Group(
        "Shelves",
        [
            shelf.holding(
                NumberField(bench, shelf.at("shelf.{}.bay"), "In bay"),
                LengthField(
                    bench, shelf.at("shelf.{}.clear_below"), "Clear below", slide=(50, 700)
                ),
                ChoiceField.of(bench, shelf.at("shelf.{}.held"), "Held by", Held),
                ChoiceField(bench, shelf.at("shelf.{}.stock"), "Sheet goods", AS_CASE),
                NumberField(bench, shelf.at("shelf.{}.layers"), "Layers"),
                LengthField(bench, shelf.at("shelf.{}.rear_gap"), "Gap behind"),
                LengthField(bench, shelf.at("shelf.{}.set_back"), "Set back"),
                Action(
                    bench,
                    "Take this shelf away",
                    "What stood on it goes to the floor of its bay",
                    lambda: by(edits.remove_shelf, shelf.number),
                    when=some(lambda design: design.shelves),
                ),
            ),
            Choosing(
                bench,
                "Add a shelf",
                "In the middle of the largest free height of the bay",
                lambda: by(edits.add_shelf, bay.value),
                bay,
            ),
        ],
    )
