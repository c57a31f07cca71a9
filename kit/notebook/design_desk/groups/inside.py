"""What stands in the case, and what joins it."""

from kit import cabling, edits
from kit.components.fan import FanPlace, Moves
from kit.components.gear_item import SizesFrom
from kit.gear import gear_kinds
from kit.hardware import fan_kinds
from kit.media import media_kinds
from kit.notebook.design_desk.bench import Bench, Work
from kit.notebook.design_desk.fields import (
    ChoiceField,
    LengthField,
    NameField,
    NumberField,
)
from kit.notebook.design_desk.parts import (
    Action,
    Choosing,
    Group,
    Picked,
    StandsOn,
    bay_choice,
    by,
    choice,
    some,
)


def gear(bench: Bench) -> Group:
    """Devices, and rows of records, discs, books."""
    device = Picked("Device", lambda work: [g.name for g in work.design.gear], "no device yet")
    row = Picked("Row", lambda work: [c.kind for c in work.design.contents], "no records or books")
    kind = choice("Kind", [(k.label, key) for key, k in gear_kinds().items()])
    media = choice("Kind", [(k.label, key) for key, k in media_kinds().items()])
    bay, media_bay = bay_choice(), bay_choice()
    sizes = [("typical of its kind", None), *((s.value, s.value) for s in SizesFrom)]
    return Group(
        "Gear",
        [
            device.holding(
                NameField(bench, device.at("gear.{}.name"), "Name"),
                ChoiceField(
                    bench,
                    device.at("gear.{}.kind"),
                    "Kind",
                    [(k.label, key) for key, k in gear_kinds().items()],
                ),
                NumberField(bench, device.at("gear.{}.bay"), "In bay"),
                StandsOn(bench, device.at("gear.{}.on"), "Stands on"),
                LengthField(bench, device.at("gear.{}.across"), "From the left"),
                LengthField(bench, device.at("gear.{}.set_back"), "Set back"),
                LengthField(bench, device.at("gear.{}.width"), "Width"),
                LengthField(bench, device.at("gear.{}.height"), "Height with feet"),
                LengthField(bench, device.at("gear.{}.depth"), "Depth, no plugs"),
                ChoiceField(bench, device.at("gear.{}.sizes"), "Sizes from", sizes),
                NumberField(bench, device.at("gear.{}.mass_kg"), "Mass, kg"),
                NumberField(bench, device.at("gear.{}.typical_w"), "Heat in use, W"),
                NumberField(bench, device.at("gear.{}.plate_w"), "Rating plate, W"),
                LengthField(bench, device.at("gear.{}.clear_side"), "Free at sides"),
                LengthField(bench, device.at("gear.{}.clear_top"), "Free above"),
                LengthField(bench, device.at("gear.{}.clear_back"), "Free behind"),
                Action(
                    bench,
                    "Take this device away",
                    "Its cables go with it",
                    lambda: by(edits.remove_gear, device.number),
                    when=some(lambda design: design.gear),
                ),
            ),
            Choosing(
                bench,
                "Add a device",
                "Of typical sizes, until you write in yours",
                lambda: by(edits.add_gear, kind.value, bay.value),
                kind,
                bay,
            ),
            row.holding(
                LengthField(bench, row.at("content.{}.length"), "Length of row"),
                StandsOn(bench, row.at("content.{}.on"), "Stands on"),
                Action(
                    bench,
                    "Take this row away",
                    "Nothing of the kind stands there then",
                    lambda: by(edits.remove_row, edits.Row.CONTENT, row.number),
                    when=some(lambda design: design.contents),
                ),
            ),
            Choosing(
                bench,
                "Add records, discs, books",
                "A row on the floor of the bay; their weight counts",
                lambda: by(edits.add_content, media.value, media_bay.value),
                media,
                media_bay,
            ),
        ],
    )


def cables(bench: Bench) -> Group:
    """What is connected with what."""

    def names(work: Work) -> list[str]:
        return [f"{run.start} to {run.end}: {run.kind}" for run in work.design.cables]

    run = Picked("Cable", names, "no cable yet")
    kinds = [(c.label, key) for key, c in cabling.cables().items()]
    start, end, kind = choice("From", []), choice("To", []), choice("Kind", kinds)

    class Ends(Choosing):
        """What a cable can join is what stands in the design."""

        def show(self, work: Work) -> None:
            devices = [device.name for device in work.design.gear]
            screen = ["screen"] * (work.design.screen is not None)
            start.options, end.options = devices + screen, [*devices, *screen, "outlet"]
            super().show(work)

    return Group(
        "Cables",
        [
            run.holding(
                ChoiceField(bench, run.at("cable.{}.kind"), "Kind", kinds),
                LengthField(bench, run.at("cable.{}.diameter"), "Thickness"),
                LengthField(bench, run.at("cable.{}.pull_out"), "Device comes out"),
                Action(
                    bench,
                    "Take this cable away",
                    "The devices stay",
                    lambda: by(edits.remove_cable, run.number),
                    when=some(lambda design: design.cables),
                ),
            ),
            Ends(
                bench,
                "Add a cable",
                "The kit finds its way and its length",
                lambda: by(edits.add_cable, start.value, end.value, kind.value),
                start,
                end,
                kind,
            ),
        ],
    )


def fans(bench: Bench) -> Group:
    """The fans at the back of the bays."""
    fan = Picked("Fan", lambda work: [f.name for f in work.design.fans], "no fan")
    bay = bay_choice()
    kinds = [(kind.label, key) for key, kind in fan_kinds().items()]
    return Group(
        "Fans",
        [
            fan.holding(
                NameField(bench, fan.at("fan.{}.name"), "Name"),
                NumberField(bench, fan.at("fan.{}.bay"), "In bay"),
                ChoiceField(bench, fan.at("fan.{}.kind"), "Size", kinds),
                ChoiceField.of(bench, fan.at("fan.{}.at"), "Sits", FanPlace),
                LengthField(bench, fan.at("fan.{}.across"), "From the left"),
                LengthField(bench, fan.at("fan.{}.up"), "Above the bottom"),
                ChoiceField.of(bench, fan.at("fan.{}.moves"), "Moves air", Moves),
                NumberField(bench, fan.at("fan.{}.free_flow_m3_h"), "Free flow, m³/h"),
                NumberField(bench, fan.at("fan.{}.free_flow_cfm"), "Free flow, cfm"),
                NumberField(bench, fan.at("fan.{}.max_pressure_pa"), "Pressure, Pa"),
                Action(
                    bench,
                    "Take this fan away",
                    "Its opening in the back goes with it",
                    lambda: by(edits.remove_row, edits.Row.FAN, fan.number),
                    when=some(lambda design: design.fans),
                ),
            ),
            Choosing(
                bench,
                "Add a fan",
                "A quiet one, high in the bay, on its back panel, which is bored for it",
                lambda: by(edits.add_fan, bay.value),
                bay,
            ),
        ],
    )
