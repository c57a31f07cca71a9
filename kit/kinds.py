"""What each check concerns: safety, function or taste. One table, from the name of the check.

Safety: somebody may be hurt (what falls, tips, or is alive with mains). It is never accepted away.
Function: the piece can be built, and does what it is for. Taste: how it looks and feels to use.
"""

from collections.abc import Mapping
from enum import Enum


class Kind(Enum):
    """What a check concerns."""

    SAFETY = "safety"
    FUNCTION = "function"
    TASTE = "taste"


_SAFETY = (
    "doors stay in",
    "feet on the top",
    "feet in depth",
    "cable suits its ends",
    "sockets for the plugs",
    "strip carries the load",
    "strip plugs into the wall",
    "shelf pins hold",
    "stands on a slope",
    "stands a push at the top",
    "anchors hold",
    "can be lifted",
)
_TASTE = (
    "divider clear of the windows",
    "wide enough for the screen",
    "wide before the eyes",
    "looking up",
)
_FUNCTION = (
    # what the design file itself says
    "acceptance",
    "within what is fixed",
    # what was measured
    "sheet thickness",
    "device size",
    "opening as planned",
    "cut board fits",
    # boards and joints
    "sizes as printed",
    "boards fit a sheet",
    "sheets on hand",
    "joinery",
    *(
        f"{cut} {what}"
        for cut in ("dado", "groove", "rabbet", "hole", "notch", "pocket hole")
        for what in ("depth", "place")
    ),
    "hole count",
    "pocket hole stock",
    "chamfer size",
    "slot field",
    *(f"wood {at} the {cut}" for cut in ("dado", "groove", "rabbet") for at in ("under", "beside")),
    "wood between opposite cuts",
    "cuts that meet",
    "wood behind a hole",
    "wood beside a hole",
    "hole pitch",
    "wood beside a pocket hole",
    "pocket holes open",
    "wood under the chamfer",
    "wood between slots",
    "frame round the slots",
    "edging covers",
    "tips stay inside",
    "fasteners grip",
    "boards apart",
    # boards that the maker added
    "board is held",
    "front can be opened",
    # doors
    "doors lift in",
    "doors run free",
    "doors pass each other",
    "doors pass what is behind",
    "doors close",
    # devices and media
    "fits in width",
    "fits in height",
    "fits in depth",
    "fits before the wall",
    "free at the sides",
    "free above",
    "free behind",
    "room for a hand",
    "stands clear",
    "stands on its board",
    "goes in",
    "hand reaches the plug",
    "media fits in height",
    "media fits in depth",
    "media fits in length",
    "media in reach",
    # cables and mains
    "cable hole opens into a bay",
    "cables get out",
    "plugs pass the hole",
    "cables fill the hole",
    "three cables do not jam",
    "cable has a way",
    "cable is long enough",
    "mains apart from signal",
    "devices have power",
    "device has power",
    "plugs cover no other socket",
    "outlets for the plugs",
    "plug fits behind the case",
    "outlet can be reached",
    # room and remote control
    "clear of the picture",
    "clears the baseboard",
    "remote control",
    "radio gets out",
    # air and heat
    "intake air",
    "intake air at plate load",
    "exhaust at an intake",
    "hot gear below",
    "wood above a device",
    "fan has an intake",
    "fan short circuit",
    "fan is held",
    "fan stands clear",
    "fan intake area",
    # strength, and how it is carried in
    "sag",
    "doors run under the sagged top",
    "doors lift out under the sagged top",
    "slatted door is stiff",
    "lands stand the router",
    "a cutter fits the slots",
    "racking",
    "plain door is stiff",
    "back panel is stiff",
    "passes a door",
    "feet can be levelled",
    "front stays square",
)

KINDS: Mapping[str, Kind] = {
    check: kind
    for kind, checks in (
        (Kind.SAFETY, _SAFETY),
        (Kind.FUNCTION, _FUNCTION),
        (Kind.TASTE, _TASTE),
    )
    for check in checks
}
"""By the name of the check."""


def kind_of(check: str) -> Kind:
    """What a check concerns; safety where the table does not know it, so that it cannot be
    accepted away.
    """
    return KINDS.get(check, Kind.SAFETY)
