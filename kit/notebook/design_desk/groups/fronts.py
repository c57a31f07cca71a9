"""What closes the case and carries it: doors, back, base."""

from collections.abc import Mapping

from kit import edits, toml_text
from kit.components.attach import Attach
from kit.components.back import Method, PanelGrain
from kit.components.doors import Layout, Style
from kit.design_file import rewrite
from kit.notebook.design_desk.bench import Bench, Edit, Value, Work
from kit.notebook.design_desk.fields import (
    ChoiceField,
    LengthField,
    ListField,
    NumberField,
    Source,
    SwitchField,
    at,
)
from kit.notebook.design_desk.groups.tables import AS_CASE, EDGINGS, LEG_STOCK, SHEETS, USUAL_LEGS
from kit.notebook.design_desk.parts import (
    Group,
    Picked,
    part,
)


def doors(bench: Bench) -> Group:
    """The sliding doors."""
    return Group(
        "Doors",
        [
            *part(bench, edits.Part.DOORS),
            ChoiceField.of(bench, at("doors.layout"), "They cover", Layout),
            NumberField(bench, at("doors.count"), "How many"),
            ChoiceField(bench, at("doors.stock"), "Sheet goods", SHEETS),
            ChoiceField.of(bench, at("doors.style"), "Look", Style),
            LengthField(bench, at("doors.slats.slot"), "Slots"),
            LengthField(bench, at("doors.slats.land"), "Wood between slots"),
            LengthField(bench, at("doors.slats.frame"), "Wood round slots"),
            LengthField(bench, at("doors.pull"), "Pull hole"),
            LengthField(bench, at("doors.overlap"), "Overlap"),
            LengthField(bench, at("doors.top_depth"), "Top groove"),
            LengthField(bench, at("doors.bottom_depth"), "Bottom groove"),
            LengthField(bench, at("doors.play"), "Play in a groove"),
            LengthField(bench, at("doors.land"), "Between grooves"),
            LengthField(bench, at("doors.front_land"), "Before the grooves"),
            LengthField(bench, at("doors.lift_clearance"), "Left when lifted"),
            LengthField(bench, at("doors.height"), "Height"),
            ChoiceField(bench, at("doors.edging"), "Edges", EDGINGS),
        ],
    )


def back(bench: Bench) -> Group:
    """The back and its panels."""

    def names(work: Work) -> list[str]:
        panels = work.design.back.panels if work.design.back else ()
        return [f"panel of bay {', '.join(map(str, panel.bays))}" for panel in panels]

    panel = Picked("Panel", names, "no back")
    return Group(
        "Back",
        [
            *part(bench, edits.Part.BACK),
            ChoiceField.of(bench, at("back.method"), "How it is held", Method),
            ChoiceField(bench, at("back.stock"), "Sheet goods", SHEETS),
            ChoiceField.of(bench, at("back.grain"), "Face grain", PanelGrain),
            panel.holding(
                ListField(bench, panel.at("back.panels.{}.bays"), "Closes bays", int),
                SwitchField(bench, panel.at("back.panels.{}.removable"), "Comes off (screws only)"),
            ),
        ],
    )


#: What a base of each kind starts from; the rest is as usual.
BASES: Mapping[str, Mapping[str, str]] = {
    "plinth": {},
    "beam": {},
    "legs": {"leg_stock": USUAL_LEGS},
}


def base(bench: Bench) -> Group:
    """What the case stands on."""

    def write(value: Value) -> Edit:
        def edit(text: str) -> str:
            base = bench.work.design.base
            assert base is not None
            if value == base.kind:
                return text
            high = bench.work.casework.say(base.height)
            fresh: Mapping[str, toml_text.Value] = {
                "kind": str(value),
                "height": high,
                **BASES[str(value)],
            }
            return rewrite(rewrite(text, {"base": None}), {"base": fresh})

        return edit

    kind = Source(at("base.kind").read, write)
    return Group(
        "Base",
        [
            *part(bench, edits.Part.BASE),
            ChoiceField(bench, kind, "Kind", [(kind, kind) for kind in BASES]),
            LengthField(bench, at("base.height"), "Height", slide=(40, 400)),
            LengthField(bench, at("base.toe"), "Front set back"),
            LengthField(bench, at("base.set_in"), "Ends set in"),
            LengthField(bench, at("base.rear"), "Rear set in"),
            NumberField(bench, at("base.layers"), "Layers"),
            LengthField(bench, at("base.rail_in"), "Rails set in"),
            LengthField(bench, at("base.set_back"), "Rails set back"),
            ChoiceField(bench, at("base.leg_stock"), "Wood of the legs", LEG_STOCK),
            LengthField(bench, at("base.leg"), "Leg, square"),
            LengthField(bench, at("base.rail_height"), "Rails, high"),
            ChoiceField(bench, at("base.stock"), "Sheet goods", AS_CASE),
            ChoiceField.of(bench, at("base.attach"), "Fixed with", Attach),
        ],
    )
