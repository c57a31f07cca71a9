"""The steps from fitted boards to the finished piece: glue-up, base, doors, backs."""

from collections.abc import Iterable, Iterator, Sequence

from kit.board import Board
from kit.casework import Casework
from kit.components.made import Fastening
from kit.hardware import Finish, finish
from kit.making.areas import takes_glue
from kit.making.buy_list.row import (
    GLUE,
    GRITS,
    TAPE,
    WAX,
    hardware_key,
    liners,
    paper_key,
)
from kit.making.steps.roles import Roles
from kit.making.steps.step import DUST, FUMES, LIFT, RAGS, Phase, Step, step
from kit.making.steps.words import Words
from kit.units import MM_PER_INCH


def lip(w: Words, roles: Roles, shelves: Sequence[Board]) -> Iterator[Step]:
    """The lippings of these shelves glued on; nothing where there are none."""
    strips = roles.lippings(shelves)
    if strips:
        yield step(
            Phase.LIPPING,
            "Glue the lippings on",
            [
                f"Glue each lipping to the front of its shelf, a hair proud above: "
                f"{w.named(strips)}. Clamp {w.clamped()}.",
                "When the glue is hard, trim it flush with the top of the shelf.",
            ],
            boards=strips,
            fastenings=roles.fastenings(strips),
            items=[GLUE],
        )


def sand_inside(roles: Roles) -> Step:
    """What will be inside, while it lies flat."""
    grain = ", with the grain" if any(board.stock.grained for board in roles.glued_up) else ""
    return step(
        Phase.SAND,
        "Sand the inside faces",
        [
            f"Sand what will be inside with {', '.join(map(str, GRITS))} grit{grain}; "
            "leave tongues and housings as they are, or the joints go loose.",
        ],
        boards=roles.glued_up,
        items=[paper_key(grit) for grit in GRITS],
        cautions=[DUST],
    )


def finish_inside(w: Words, roles: Roles) -> Step:
    """The inside where the back goes on late, else the panels that are let in."""
    row = coat_of(w.casework)
    if roles.early_backs:
        title, where = "Finish the back panels, which cannot come out", "both their faces"
    else:
        title, where = "Finish the inside", "the inside faces"
    lines = [f"Tape off every joint; {row.coats} coats of {row.label} on {where}."]
    if roles.doors and not roles.early_backs:
        lines.append("Go thin on the walls of the door tracks: each coat takes from their play.")
    return step(
        Phase.FINISH,
        title,
        lines,
        boards=roles.early_backs or (*roles.case, *roles.dividers, *roles.fixed),
        items=[row.key, TAPE],
        cautions=[FUMES, *([RAGS] if "oil" in row.label else [])],
    )


def place_added(w: Words, roles: Roles) -> Iterator[Step]:
    """Boards of the maker's own: said before glue-up, since some cannot go in after it."""
    if not roles.added:
        return
    fastenings = roles.fastenings(roles.added)
    glued = any(takes_glue(w.casework, fastening) for fastening in fastenings)
    yield step(
        Phase.ADDED,
        "Decide when your own boards go in",
        [
            f"Not placed by the kit: {w.named(roles.added)}. It knows their joints, but not "
            "their order.",
            "What is housed in more than one board of the case goes in as the case is put "
            "together, in the next step; the rest can wait until the case stands.",
            *w.fastened(fastenings),
        ],
        boards=roles.added,
        fastenings=fastenings,
        items=[*_items(fastenings), *([GLUE] if glued else [])],
    )


def glue_up(w: Words, roles: Roles) -> Step:
    """The case, its dividers, fixed shelves and let-in panels, in one go."""
    fastenings = roles.fastenings(roles.glued_up)
    lines = []
    if roles.dividers:
        lines.append(f"Set {w.named(roles.dividers)} into the bottom.")
    if roles.fixed:
        lines.append(f"Enter {w.named(roles.fixed)} between their uprights.")
    if roles.early_backs:
        lines.append(
            f"Slide {w.named(roles.early_backs)} into the grooves now: they cannot go in later."
        )
    lines.append("Put the top on, then the sides; lay the clamps out before the glue.")
    lines += w.fastened(fastenings)
    glued = any(takes_glue(w.casework, fastening) for fastening in fastenings)
    if glued:
        lines.append(f"Clamp {w.clamped()}; wipe squeezed-out glue off at once.")
    lines.append(w.square() + " Check it before the glue sets.")
    return step(
        Phase.GLUE_UP,
        "Glue up the case" if glued else "Put the case together",
        lines,
        boards=roles.glued_up,
        fastenings=fastenings,
        items=[*_items(fastenings), *([GLUE] if glued else [])],
        cautions=[LIFT],
        gate=True,
    )


def build_base(w: Words, roles: Roles) -> Iterator[Step]:
    """The base, and how it is held to the case."""
    if not roles.base:
        return
    fastenings = roles.fastenings(roles.base)
    yield step(
        Phase.BASE,
        "Build the base and fasten it",
        [
            f"Join {w.named(roles.base)}; check it by equal diagonals.",
            "Lay the case on its top on a blanket, and fasten the base to the bottom.",
            *w.fastened(fastenings),
            "Try the first screw of each kind in scrap of the same thickness: no tip may show.",
        ],
        boards=roles.base,
        fastenings=fastenings,
        items=_items(fastenings),
        cautions=[w.heavy("The case", roles.glued_up)],
    )


def finish_all(w: Words, roles: Roles) -> Step:
    """What has no finish yet; where a panel is glued on after it, the wood stays bare."""
    row = coat_of(w.casework)
    glued = _glued_late(w, roles)
    mask = []
    if glued:
        panels = dict.fromkeys(f.board for f in glued)
        hosts = dict.fromkeys(host for f in glued for host in f.to.split(", "))
        mask = [
            "Mask the glue lines first, since glue does not hold on a finish: where "
            f"{w.named(w.casework.by_name[name] for name in panels)} will be glued, on the panel "
            f"and on {w.named(w.casework.by_name[name] for name in hosts)}."
        ]
    return step(
        Phase.FINISH,
        "Sand and finish the rest",
        [
            *mask,
            f"Sand the outside and all loose boards with {', '.join(map(str, GRITS))} grit, "
            f"ease the arrises; {row.coats} coats of {row.label}, both faces of a board alike.",
        ],
        boards=w.casework.boards,
        items=[row.key, *(paper_key(grit) for grit in GRITS), *([TAPE] if mask else [])],
        cautions=[DUST, FUMES, *([RAGS] if "oil" in row.label else [])],
    )


def press_liners(w: Words) -> Iterator[Step]:
    """Liners of the cable holes that want one."""
    lined = {
        board.name: tuple(liners(board))
        for board in w.casework.boards
        if any(True for _ in liners(board))
    }
    if lined:
        yield step(
            Phase.FITTINGS,
            "Press the liners into the cable holes",
            [
                "One to a hole, pressed in from the side that is seen; sand the rim of the other "
                "side round, so that it cannot chafe a cable.",
                *(
                    f"{w.named([w.casework.by_name[name]])}: "
                    + ", ".join(
                        f"{len([r for r in rows if r is row])} x {row.label}"
                        for row in dict.fromkeys(rows)
                    )
                    for name, rows in lined.items()
                ),
            ],
            boards=[w.casework.by_name[name] for name in lined],
            items=dict.fromkeys(row.key for rows in lined.values() for row in rows),
        )


def hang_doors(w: Words, roles: Roles) -> Iterator[Step]:
    """The doors, the rear track first."""
    hung = w.casework.doors
    if hung is None:
        return
    rear_first = [door.board for door in sorted(hung.doors, key=lambda door: -door.track)]
    yield step(
        Phase.DOORS,
        "Wax the tracks and lift the doors in",
        [
            "Wax the tracks, and the upper and lower edges of the doors.",
            f"From the front, rear track first: {w.named(rear_first)}. Lift each into the top "
            "groove, swing it in and let it down into the bottom one; "
            f"{w.say(hung.lift) if hung.lift >= MM_PER_INCH else w.exactly(hung.lift)} is the "
            "clearance above it as it is lifted.",
        ],
        boards=roles.doors,
        items=[WAX],
    )


def put_backs(w: Words, roles: Roles) -> Iterator[Step]:
    """Panels that go on after glue-up."""
    if not roles.late_backs:
        return
    fastenings = roles.fastenings(roles.late_backs)
    glued = bool(_glued_late(w, roles))
    peel = ["Peel the masking tape off: glue goes on bare wood."] if glued else []
    yield step(
        Phase.BACKS,
        "Put the back panels on",
        [
            "Stand the case level and untwisted first: a panel that is screwed or glued holds it "
            "as it stands then.",
            w.square(),
            *peel,
            *w.fastened(fastenings),
            "Drill pilot holes; the screws follow the panel's own edge, so keep them straight.",
        ],
        boards=roles.late_backs,
        fastenings=fastenings,
        items=[*_items(fastenings), *([GLUE] if glued else [])],
        cautions=[LIFT],
    )


def put_shelves(w: Words, roles: Roles) -> Iterator[Step]:
    """Shelves on pins."""
    if not roles.loose:
        return
    fastenings = roles.fastenings(roles.loose)
    yield step(
        Phase.SHELVES,
        "Put the adjustable shelves on their pins",
        [f"Set {w.named(roles.loose)}.", *w.fastened(fastenings)],
        boards=roles.loose,
        fastenings=fastenings,
        items=_items(fastenings),
    )


def _glued_late(w: Words, roles: Roles) -> list[Fastening]:
    """The glue joints of panels that go on after the finish."""
    fastenings = roles.fastenings(roles.late_backs)
    return [fastening for fastening in fastenings if takes_glue(w.casework, fastening)]


def coat_of(casework: Casework) -> Finish:
    """The finish of a design. Raises TableError where it is not in the tables."""
    return finish(casework.design.shop.finish)


def _items(fastenings: Iterable[Fastening]) -> list[str]:
    keys = (hardware_key(fastening) for fastening in fastenings)
    return list(dict.fromkeys(key for key in keys if key is not None))
