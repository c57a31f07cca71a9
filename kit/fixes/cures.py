"""For each check that can fail, the levers that can cure it; or why none does.

Only what the maker decides is turned. What is a fact stays: the gear and its manual, the screen,
the outlets, caliper readings. Seats, though, can be moved, and so can the console in its room.
"""

from collections.abc import Mapping

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

WIDER: tuple[Lever, ...] = (Size("case.width", MORE, 300.0), BayWidth(MORE), Edit.EVEN_BAYS)
NARROWER: tuple[Lever, ...] = (Size("case.width", LESS, 600.0),)
HIGHER: tuple[Lever, ...] = (
    Size("case.height", MORE, 300.0),
    Size("shelf.{shelf}.clear_below", EITHER, 300.0),
    Sheet("shelf.{shelf}.stock", LESS),
    Number("shelf.{shelf}.layers", LESS, 1, 4),
    Size("shelf.{shelf}.lipping.height", LESS, 60.0),
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
    Size("shelf.{shelf}.holes.depth", EITHER, 10.0, Grid.JOINT),
    Size("shelf.{shelf}.holes.set_back", EITHER, 40.0),
)
CORNER: tuple[Lever, ...] = (
    Size("case.corner_depth", EITHER, 15.0, Grid.JOINT),
    Option("case.corner", ("rabbet", "dado", "butt")),
    Size("case.inset_top", EITHER, 60.0),
    Size("case.inset_bottom", EITHER, 60.0),
    Size("case.pins.diameter", LESS, 6.0, Grid.JOINT),
    Size("case.pins.depth", LESS, 30.0),
    Size("case.pins.spacing", EITHER, 100.0),
)
GROOVES: tuple[Lever, ...] = (
    Size("doors.top_depth", LESS, 15.0, Grid.JOINT),
    Size("doors.bottom_depth", LESS, 10.0, Grid.JOINT),
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
    Size("case.pins.diameter", LESS, 6.0, Grid.JOINT),
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
    Size("doors.lift_clearance", EITHER, 8.0, Grid.JOINT),
    Size("doors.top_depth", MORE, 12.0, Grid.JOINT),
    Size("doors.bottom_depth", EITHER, 6.0, Grid.JOINT),
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

CURES: Mapping[str, tuple[Lever, ...] | Nothing] = {
    # what was measured
    "sheet thickness": Nothing(
        "The spread is in the sheets as measured; sort them, or buy sheets of one batch."
    ),
    "opening as planned": Nothing(
        "The opening is what was measured in the dry-fitted case; measure again, or mend the joint."
    ),
    "cut board fits": Nothing(
        "The board is cut and the opening is measured; trim the board, or cut a new one."
    ),
    # boards and joints
    "sizes as printed": (
        Option("shop.units", ("in", "mm")),
        Size("case.height", EITHER, 10.0),
        Size("case.width", EITHER, 10.0),
        Size("case.depth", EITHER, 10.0),
        *MOVE_BOARDS,
    ),
    "boards fit a sheet": (
        *NARROWER,
        *LOWER,
        *SHALLOWER,
        Option("back.grain", ("either", "level", "upright")),
        Option("case.corner", ("dado", "rabbet", "butt")),
        Number("doors.count", MORE, 2, 3),
        Edit.ADD_SHEET,
        Edit.OPEN_BACK,
    ),
    **{
        f"{cut} {what}": NEVER_BUILT
        for cut in ("dado", "groove", "rabbet", "hole", "notch", "pocket hole")
        for what in ("depth", "place")
    },
    "hole count": NEVER_BUILT,
    "pocket hole stock": NEVER_BUILT,
    "chamfer size": NEVER_BUILT,
    "slot field": NEVER_BUILT,
    **{
        f"wood {where} the {cut}": TRENCHES
        for cut in ("dado", "groove", "rabbet")
        for where in ("under", "beside")
    },
    "wood between opposite cuts": TRENCHES,
    "cuts that meet": (*MOVE_HOLES, *PIN_HOLES, *TRENCHES, BOLTED, *BASE_SIZES),
    "wood behind a hole": HOLES,
    "wood beside a hole": HOLES,
    "hole pitch": (
        Size("shelf.{shelf}.holes.pitch", MORE, 20.0),
        Bought("shelf.{shelf}.holes.diameter", Catalogue.SHELF_PINS, LESS),
        Size("case.pins.spacing", MORE, 200.0),
        Size("case.pins.diameter", LESS, 6.0, Grid.JOINT),
    ),
    "wood beside a pocket hole": POCKETS,
    "pocket holes open": POCKETS,
    "wood under the chamfer": (
        Size("back.chamfer", LESS, 10.0, Grid.JOINT),
        Sheet("back.stock", MORE),
    ),
    "wood between slots": SLOTS,
    "frame round the slots": SLOTS,
    "edging covers": (
        Bought("case.edging", Catalogue.EDGINGS),
        Bought("doors.edging", Catalogue.EDGINGS),
        Sheet("case.stock", LESS),
        Sheet("doors.stock", LESS),
        Sheet("shelf.{shelf}.stock", LESS),
        Number("shelf.{shelf}.layers", LESS, 1, 4),
    ),
    "tips stay inside": DRIVEN,
    "fasteners grip": DRIVEN,
    "boards apart": (
        *MOVE_BOARDS,
        Size("shelf.{shelf}.set_back", EITHER, 60.0),
        Size("shelf.{shelf}.rear_gap", EITHER, 60.0),
        Size("shelf.{shelf}.lipping.height", LESS, 60.0),
        *BASE_SIZES,
        *BACK_CUTS,
    ),
    # doors
    "doors lift in": HANGING,
    "doors stay in": HANGING,
    "doors run free": (Size("doors.play", MORE, 4.0, Grid.JOINT),),
    "doors pass each other": (
        Size("doors.land", MORE, 12.0, Grid.JOINT),
        Size("doors.play", MORE, 4.0, Grid.JOINT),
    ),
    "doors pass what is behind": (
        Size("shelf.{shelf}.set_back", MORE, 30.0),
        Size("doors.front_land", LESS, 10.0, Grid.JOINT),
        Size("doors.land", LESS, 10.0, Grid.JOINT),
    ),
    "doors close": (Size("doors.overlap", MORE, 60.0),),
    "divider clear of the windows": WARNS,
    # devices
    "fits in width": ROOM_BESIDE,
    "fits in height": ROOM_ABOVE,
    "fits in depth": ROOM_BEHIND,
    "fits before the wall": (FARTHER_FROM_WALL, *BACK_CUTS, Edit.SHIFT_CASE, Edit.OPEN_BACK),
    "free at the sides": ROOM_BESIDE,
    "free above": ROOM_ABOVE,
    "free behind": ROOM_BEHIND,
    "room for a hand": (*ROOM_BESIDE, *HIGHER),
    "stands clear": (
        *STAND_ELSEWHERE,
        Edit.MOVE_CONTENT,
        Size("content.{content}.length", LESS, 600.0),
        *WIDER,
        *HIGHER,
        *DEEPER,
        FARTHER_FROM_WALL,
        Size("shelf.{shelf}.rear_gap", EITHER, 100.0),
        Size("shelf.{shelf}.set_back", EITHER, 60.0),
        Edit.OPEN_BACK,
        Edit.RIGHT_ANGLE,
    ),
    "stands on its board": (
        Size("shelf.{shelf}.rear_gap", LESS, 100.0),
        Size("shelf.{shelf}.set_back", EITHER, 60.0),
        Size("gear.{gear}.set_back", EITHER, 200.0),
        *DEEPER,
        Edit.MOVE_GEAR,
    ),
    "goes in": (
        *TAKE_OFF_BACK,
        *WIDER,
        *HIGHER,
        *OTHER_DOORS,
        Size("divider.{divider}.at", EITHER, 200.0),
        *STAND_ELSEWHERE,
    ),
    "hand reaches the plug": (
        *TAKE_OFF_BACK,
        Size("cable.{cable}.pull_out", MORE, 900.0),
        *WIDER,
        *HIGHER,
        *DEEPER,
        *STAND_ELSEWHERE,
    ),
    # media
    "media fits in height": (*HIGHER, Edit.MOVE_CONTENT),
    "media fits in depth": (
        *DEEPER,
        Size("doors.land", LESS, 6.0, Grid.JOINT),
        Size("doors.front_land", LESS, 10.0, Grid.JOINT),
        *BACK_CUTS,
        Edit.MOVE_CONTENT,
    ),
    "media fits in length": (
        Size("content.{content}.length", LESS, 900.0),
        *WIDER,
        Edit.MOVE_CONTENT,
    ),
    "media in reach": (
        *OTHER_DOORS,
        Size("content.{content}.length", LESS, 900.0),
        Size("divider.{divider}.at", EITHER, 200.0),
        Edit.MOVE_CONTENT,
    ),
    # cables
    "cable hole opens into a bay": (
        Size("{bore}.across", EITHER, 200.0),
        Size("{bore}.up", EITHER, 200.0),
        Bought("{bore}.diameter", Catalogue.LINERS, LESS),
        *MOVE_BOARDS,
    ),
    "cables get out": (Edit.ADD_PANEL_HOLE, Edit.OPEN_BACK),
    "plugs pass the hole": (
        Bought("hole.{hole}.diameter", Catalogue.LINERS, MORE),
        Bought("{bore}.diameter", Catalogue.LINERS, MORE),
        Edit.OPEN_BACK,
    ),
    "cables fill the hole": (
        Bought("hole.{hole}.diameter", Catalogue.LINERS, MORE),
        Bought("{bore}.diameter", Catalogue.LINERS, MORE),
        Edit.ADD_PANEL_HOLE,
        Edit.OPEN_BACK,
    ),
    "three cables do not jam": WARNS,
    "cable suits its ends": (Edit.REPLUG, Bought("cable.{cable}.kind", Catalogue.CABLES)),
    "cable has a way": (
        Edit.ADD_ADVISED_HOLE,
        Bought("hole.{hole}.diameter", Catalogue.LINERS, MORE),
        Bought("{bore}.diameter", Catalogue.LINERS, MORE),
        Edit.OPEN_BACK,
    ),
    "cable is long enough": (
        Size("cable.{cable}.pull_out", LESS, 1000.0),
        Edit.ADD_ADVISED_HOLE,
        Edit.MOVE_GEAR,
        *NARROWER,
    ),
    "mains apart from signal": WARNS,
    # mains
    "devices have power": Nothing("It is unknown, not failed, until the cables are written."),
    "device has power": Nothing("It is unknown, not failed, until the cable is written."),
    "sockets for the plugs": (Edit.REPLUG,),
    "plugs cover no other socket": (Edit.REPLUG,),
    "strip carries the load": (Edit.REPLUG,),
    "strip plugs into the wall": (Edit.REPLUG,),
    "outlets for the plugs": (Edit.REPLUG,),
    "plug fits behind the case": (
        FARTHER_FROM_WALL,
        Edit.SHIFT_CASE,
        *STAND_ELSEWHERE,
        *BACK_CUTS,
        Edit.OPEN_BACK,
    ),
    "outlet can be reached": WARNS,
    # the screen and its viewers
    "wide enough for the screen": (Size("case.width", MORE, 900.0),),
    "feet on the top": (Size("case.width", MORE, 900.0),),
    "feet in depth": (Size("{screen}.set_back", LESS, 300.0), *DEEPER),
    "wide before the eyes": (
        Size("room.seats.distance", LESS, 3000.0),
        Size("{screen}.set_back", LESS, 300.0),
        *SHALLOWER,
    ),
    "looking up": (
        Size("base.height", LESS, 200.0),
        *LOWER,
        Size("room.seats.distance", MORE, 2000.0),
    ),
    "clears the baseboard": (
        Size("base.rear", MORE, 100.0),
        Size("base.set_back", MORE, 100.0),
        Size("base.set_in", MORE, 60.0),
        FARTHER_FROM_WALL,
        Edit.ADD_BASE,
    ),
    "remote control": (
        Option("doors.style", ("slatted",)),
        Option("doors.layout", ("ends",)),
        Size("doors.slats.land", LESS, 20.0),
        Bought("doors.slats.slot", Catalogue.ROUTER_BITS, MORE),
        *STAND_ELSEWHERE,
    ),
    "radio gets out": STAND_ELSEWHERE,
    # air
    "intake air": COOLER,
    "intake air at plate load": COOLER,
    "exhaust at an intake": (*STAND_ELSEWHERE, *WIDER),
    "hot gear below": (Edit.MOVE_GEAR, *COOLER),
    "wood above a device": (*HIGHER, *COOLER),
    "fan has an intake": (
        Edit.OPEN_BACK,
        Edit.ADD_VENTS,
        Option("doors.style", ("slatted",)),
        Size("doors.slats.land", LESS, 20.0),
        Number("fan.{fan}.free_flow_m3_h", LESS, 5, 300, 5),
    ),
    "fan short circuit": (
        Option("fan.{fan}.at", ("high", "low")),
        Edit.ADD_VENTS,
        Number("fan.{fan}.bay", EITHER, 1, 20),
    ),
    # strength
    "sag": STIFFER,
    "doors run under the sagged top": (*HANGING, *STIFFER),
    "doors lift out under the sagged top": (*HANGING, *STIFFER),
    "slatted door is stiff": (
        Size("doors.slats.land", MORE, 40.0),
        Size("doors.slats.frame", MORE, 150.0),
        Sheet("doors.stock", MORE),
        *LOWER,
    ),
    "lands stand the router": (Size("doors.slats.land", MORE, 20.0), Sheet("doors.stock", LESS)),
    "a cutter fits the slots": (Bought("doors.slats.slot", Catalogue.ROUTER_BITS),),
    "shelf pins hold": (
        Size("shelf.{shelf}.holes.depth", MORE, 10.0, Grid.JOINT),
        Bought("shelf.{shelf}.holes.diameter", Catalogue.SHELF_PINS, MORE),
        Size("shelf.{shelf}.side_clearance", LESS, 3.0, Grid.JOINT),
        Option("shelf.{shelf}.held", ("fixed",)),
        Size("content.{content}.length", LESS, 900.0),
        Edit.MOVE_GEAR,
        Edit.MOVE_CONTENT,
        Edit.ADD_BAY,
    ),
    "racking": (
        Option("back.panels.{panel}.removable", (False,)),
        Edit.ADD_BACK,
        Option("back.method", ("rabbeted", "let-in")),
        Sheet("back.stock", MORE),
        DIVIDER_JOINT,
        Option("case.corner", ("rabbet", "dado", "butt")),
        Option("shelf.{shelf}.held", ("fixed",)),
        THICKER_CASE,
        Edit.ADD_BAY,
        *LOWER,
    ),
    # stability
    "stands on a slope": STEADIER,
    "stands a push at the top": STEADIER,
    "anchors hold": STEADIER,
    "can be lifted": (
        *NARROWER,
        *SHALLOWER,
        *LOWER,
        Sheet("case.stock", LESS),
        Sheet("back.stock", LESS),
        Option("back.panels.{panel}.removable", (True,)),
        Option("base.attach", ("bolts",)),
        Option("shelf.{shelf}.held", ("pins",)),
        Number("shelf.{shelf}.layers", LESS, 1, 4),
    ),
    "passes a door": (*LOWER, *SHALLOWER, *NARROWER, Option("base.attach", ("bolts",))),
    "feet can be levelled": (
        *NARROWER,
        Size("base.set_in", MORE, 200.0),
        Size("base.rail_in", MORE, 600.0),
        *SHALLOWER,
    ),
    "front stays square": LOWER,
}
"""By the name of the check. A check that is not here was added later: it has no lever yet."""
