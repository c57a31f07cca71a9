"""Levers that are turned together: what makes a case wider, lower, clear of the wall."""

from kit.fixes.levers import (
    BayWidth,
    Bought,
    Catalogue,
    Edit,
    Grid,
    Lever,
    Nothing,
    Number,
    Option,
    Sheet,
    Size,
    Way,
)

MORE, LESS, EITHER = Way.MORE, Way.LESS, Way.EITHER
#: A shallower groove or rabbet guides and holds nothing, a thinner pin neither; a shelf pin sits
#: as deep as it is thick; what moves needs play. mm. Common practice, no source.
LEAST_CUT, LEAST_PIN_HOLE, LEAST_PLAY = 3.0, 5.0, 0.5

THINNER_CASE = Sheet("case.stock", LESS)
WIDER: tuple[Lever, ...] = (
    Size("case.width", MORE, 300.0),
    BayWidth(MORE),
    Edit.EVEN_BAYS,
    THINNER_CASE,
    Sheet("divider.{divider}.stock", LESS),
)
NARROWER: tuple[Lever, ...] = (Size("case.width", LESS, 600.0),)
HIGHER: tuple[Lever, ...] = (
    Size("case.height", MORE, 300.0),
    Size("shelf.{shelf}.clear_below", EITHER, 300.0),
    Sheet("shelf.{shelf}.stock", LESS),
    Number("shelf.{shelf}.layers", LESS, 1, 4),
    Size("shelf.{shelf}.lipping.height", LESS, 60.0),
    THINNER_CASE,
)
LOWER: tuple[Lever, ...] = (Size("case.height", LESS, 300.0),)
DEEPER: tuple[Lever, ...] = (Size("case.depth", MORE, 250.0),)
SHALLOWER: tuple[Lever, ...] = (Size("case.depth", LESS, 300.0),)
FARTHER_FROM_WALL = Size("room.wall_gap", MORE, 150.0)
STAND_ELSEWHERE: tuple[Lever, ...] = (
    Size("gear.{gear}.across", EITHER, 600.0),
    Size("gear.{gear}.set_back", EITHER, 200.0),
    Edit.MOVE_GEAR,
)
TAKE_OFF_BACK: tuple[Lever, ...] = (
    Option("back.panels.{panel}.removable", (True,)),
    Edit.OPEN_BACK,
)
MOVE_BOARDS: tuple[Lever, ...] = (
    Size("divider.{divider}.at", EITHER, 150.0),
    Size("shelf.{shelf}.clear_below", EITHER, 150.0),
)
MOVE_HOLES: tuple[Lever, ...] = (
    Size("hole.{hole}.along", EITHER, 150.0),
    Size("hole.{hole}.across", EITHER, 150.0),
    Bought("hole.{hole}.diameter", Catalogue.LINERS, LESS),
    Size("{bore}.across", EITHER, 150.0),
    Size("{bore}.up", EITHER, 150.0),
    Bought("{bore}.diameter", Catalogue.LINERS, LESS),
)
PIN_HOLES: tuple[Lever, ...] = (
    Number("shelf.{shelf}.holes.above", LESS, 0, 40),
    Number("shelf.{shelf}.holes.below", LESS, 0, 40),
    Size("shelf.{shelf}.holes.depth", EITHER, 10.0, Grid.JOINT, LEAST_PIN_HOLE),
    Size("shelf.{shelf}.holes.set_back", EITHER, 40.0),
)
CORNER: tuple[Lever, ...] = (
    Size("case.corner_depth", EITHER, 15.0, Grid.JOINT, LEAST_CUT),
    Option("case.corner", ("rabbet", "dado", "butt")),
    Size("case.inset_top", EITHER, 60.0),
    Size("case.inset_bottom", EITHER, 60.0),
    Size("case.pins.diameter", LESS, 6.0, Grid.JOINT, LEAST_CUT),
    Size("case.pins.depth", LESS, 30.0),
    Size("case.pins.spacing", EITHER, 100.0),
)
GROOVES: tuple[Lever, ...] = (
    Size("doors.top_depth", LESS, 15.0, Grid.JOINT, LEAST_CUT),
    Size("doors.bottom_depth", LESS, 10.0, Grid.JOINT, LEAST_CUT),
    Size("doors.front_land", MORE, 20.0, Grid.JOINT),
    Size("doors.land", MORE, 15.0, Grid.JOINT),
)
BACK_CUTS: tuple[Lever, ...] = (
    Size("back.inset", EITHER, 40.0),
    Option("back.method", ("rabbeted", "let-in", "planted")),
    Sheet("back.stock", EITHER),
)
THICKER_CASE = Sheet("case.stock", MORE)
DIVIDER_JOINT = Option("divider.{divider}.joint", ("dado", "dowels", "screws"))
BOLTED = Option("base.attach", ("bolts", "pocket-screws"))
BASE_SIZES: tuple[Lever, ...] = (
    Size("base.height", MORE, 60.0),
    Size("base.set_in", EITHER, 60.0),
    Size("base.rail_in", EITHER, 150.0),
    Number("base.layers", EITHER, 2, 4),
    Sheet("base.stock", EITHER),
)
TRENCHES: tuple[Lever, ...] = (
    *CORNER,
    *GROOVES,
    *BACK_CUTS,
    *MOVE_BOARDS,
    DIVIDER_JOINT,
    Option("shelf.{shelf}.held", ("pins",)),
    THICKER_CASE,
    Sheet("divider.{divider}.stock", MORE),
)
HOLES: tuple[Lever, ...] = (
    *MOVE_HOLES,
    *PIN_HOLES,
    Size("case.pins.depth", LESS, 30.0),
    Size("case.pins.diameter", LESS, 6.0, Grid.JOINT, LEAST_CUT),
    Size("doors.pull", LESS, 30.0),
    *MOVE_BOARDS,
    DIVIDER_JOINT,
    BOLTED,
    *BASE_SIZES,
    THICKER_CASE,
    Sheet("divider.{divider}.stock", MORE),
)
POCKETS: tuple[Lever, ...] = (BOLTED, *BASE_SIZES, *MOVE_BOARDS)
DRIVEN: tuple[Lever, ...] = (
    BOLTED,
    DIVIDER_JOINT,
    *MOVE_BOARDS,
    *BASE_SIZES,
    Option("case.corner", ("rabbet", "dado", "butt")),
    Size("case.inset_bottom", EITHER, 60.0),
    Size("case.inset_top", EITHER, 60.0),
    THICKER_CASE,
    Sheet("divider.{divider}.stock", EITHER),
    *BACK_CUTS,
)
SLOTS: tuple[Lever, ...] = (
    Size("doors.slats.land", EITHER, 30.0, Grid.JOINT),
    Size("doors.slats.frame", MORE, 40.0),
    Bought("doors.slats.slot", Catalogue.ROUTER_BITS),
)
HANGING: tuple[Lever, ...] = (
    Size("doors.lift_clearance", EITHER, 8.0, Grid.JOINT, LEAST_PLAY),
    Size("doors.top_depth", MORE, 12.0, Grid.JOINT),
    Size("doors.bottom_depth", EITHER, 6.0, Grid.JOINT, LEAST_CUT),
    Size("doors.height", EITHER, 15.0, Grid.JOINT),
)
OTHER_DOORS: tuple[Lever, ...] = (
    Size("doors.overlap", EITHER, 150.0),
    Option("doors.layout", ("ends", "bypass")),
    Number("doors.count", EITHER, 2, 3),
)
STIFFER: tuple[Lever, ...] = (
    Size("shelf.{shelf}.lipping.height", MORE, 60.0),
    Sheet("shelf.{shelf}.stock", MORE),
    Number("shelf.{shelf}.layers", MORE, 1, 4),
    Option("shelf.{shelf}.held", ("fixed",)),
    Edit.ADD_BAY,
    Size("divider.{divider}.at", EITHER, 300.0),
    Size("base.rail_height", MORE, 80.0),
    THICKER_CASE,
    *NARROWER,
    Edit.MOVE_GEAR,
)
COOLER: tuple[Lever, ...] = (
    Edit.OPEN_BACK,
    Edit.ADD_VENTS,
    Edit.ADD_FAN,
    Number("fan.{fan}.free_flow_m3_h", MORE, 5, 300, 5),
    Option("doors.style", ("slatted",)),
    Size("doors.slats.land", LESS, 20.0),
    Option("doors.layout", ("ends",)),
    Edit.MOVE_GEAR,
    *WIDER,
    Size("case.height", MORE, 300.0),
)
STEADIER: tuple[Lever, ...] = (
    *DEEPER,
    *LOWER,
    Size("base.toe", LESS, 75.0),
    Size("base.rear", LESS, 60.0),
    Size("base.set_in", LESS, 60.0),
    Size("base.set_back", LESS, 120.0),
    Size("base.rail_in", LESS, 300.0),
    Size("base.height", LESS, 200.0),
    Size("screen.set_back", EITHER, 300.0),
    Edit.ADD_BASE,
)
ROOM_BESIDE: tuple[Lever, ...] = (*WIDER, *STAND_ELSEWHERE)
ROOM_ABOVE: tuple[Lever, ...] = (
    *HIGHER,
    Option("gear.{gear}.antennas_folded", (True,)),
    Edit.MOVE_GEAR,
)
ROOM_BEHIND: tuple[Lever, ...] = (
    *DEEPER,
    Size("gear.{gear}.set_back", LESS, 200.0),
    FARTHER_FROM_WALL,
    Size("doors.land", LESS, 6.0, Grid.JOINT),
    Size("doors.front_land", LESS, 10.0, Grid.JOINT),
    *BACK_CUTS,
    Edit.OPEN_BACK,
    Edit.RIGHT_ANGLE,
    Edit.MOVE_GEAR,
)

NEVER_BUILT = Nothing("A design with it is refused as it is built, so that no check reports it.")
WARNS = Nothing("It warns and never fails.")
