"""Two pictures of the checks: the front with its sag drawn large, and the tip triangle.

Both are plain line drawings to scale, legible in print and without colour: how much of its
limit a board uses up is written on it, and its shade of grey says the same.
"""

from math import radians, tan

from kit.board import Board
from kit.casework import Casework
from kit.checks.loads import FOOT_DEPTH, Carried, Loads, loads
from kit.checks.stability.mass import screen_mass
from kit.checks.stability.states import State, Way, states
from kit.checks.strength.sag import Sag, Sags, sags
from kit.draw.svg import Anchor, Canvas, text_width
from kit.geometry import Box
from kit.limits import SagLimit

WIDTH, MARGIN, HEAD, FOOT = 1000.0, 46.0, 84.0, 64.0
#: The largest sag is drawn this high, px.
DRAWN = 26.0
#: Size of text, px.
SMALL, PLAIN, LARGE = 12.0, 13.0, 17.0
#: Fill of a board by how much of its limit it uses: up to 50 %, up to 100 %, more.
SHADES = ((0.5, "#ffffff"), (1.0, "#d9d9d9"), (float("inf"), "#8c8c8c"))
#: Slope that the tip picture is drawn on besides the level, degrees: UL 1678.
SLOPE = 10.0


def sag_svg(casework: Casework, *, limit: SagLimit | None = None, read: Loads = loads) -> str:
    """The front elevation with the sag after years, exaggerated and numbered, as SVG."""
    carried = read(casework)
    limits = casework.design.limits
    limit = limit or limits.sag
    cap = f", at most {casework.say(limits.sag_most)}" if limits.sag_most else ""
    found = sags(casework, carried, limit)
    box = casework.box
    scale = (WIDTH - 2 * MARGIN) / box.size[0]
    most = max((s.later_mm for s in found.boards.values()), default=0.0)
    times = DRAWN / (most * scale) if most > 0 else 1.0
    times = min(float(round(times, 1 - len(str(int(times))))), 500.0) if times >= 1 else 1.0
    rows = list(found.boards.values())
    height = HEAD + box.size[2] * scale + FOOT + 22 * len(rows)
    told = f"sag after years, drawn {times:.0f} times as large"
    if not rows:
        told = "its sag is not known"
    title = f"{casework.design.name}: {told}"
    canvas = Canvas.of(WIDTH, height, title)
    canvas.rect(0, 0, WIDTH, height, fill="#ffffff", line=0)
    canvas.text(MARGIN, 24, title, size=LARGE, anchor=Anchor.START, bold=True)
    canvas.text(
        MARGIN,
        50,
        f"Figures: share of {limit.plain}{cap}. White up to 50 %, light grey up to 100 %, "
        "dark above.",
        size=SMALL,
        anchor=Anchor.START,
    )
    view = _View(scale, MARGIN - box.lo[0] * scale, HEAD + box.hi[2] * scale)
    names = {*found.boards, *casework.door_names, *casework.makers.panels}
    for board in casework.boards:
        if board.name not in names:
            _plain(canvas, view, board)
    numbers = {sag.board: n for n, sag in enumerate(rows, start=1)}
    for sag in rows:
        _sagged(canvas, view, found, casework.by_name[sag.board], sag, times, numbers[sag.board])
    _loads(canvas, view, casework, carried)
    y = HEAD + box.size[2] * scale + FOOT
    for sag in rows:
        missing = carried.unknown_on(sag.board)
        if sag.board == "bottom":
            missing = tuple(what for _, what in carried.unknown)
        _row(canvas, casework, sag, numbers[sag.board], y, missing)
        y += 22
    return canvas.markup()


def tip_svg(casework: Casework, *, read: Loads = loads) -> str:
    """The side with its centre of mass, tip line and 10 degree slope, as SVG: the tip triangle."""
    carried = read(casework)
    found = list(states(casework, carried))
    state = min(found, key=lambda s: s.angle(Way.FORWARD))
    box = casework.box
    ground = state.base.lo[2]
    high = max(box.hi[2], casework.frame.top.box.hi[2] + _screen_height(carried)) - ground
    scale = min(560.0 / high, 420.0 / box.size[1])
    #: the figures stand beside the case
    width, height = max(760.0, 250.0 + box.size[1] * scale + 320.0), HEAD + high * scale + 110
    title = f"{casework.design.name}: tipping forward, '{state.name}'"
    canvas = Canvas.of(width, height, title)
    canvas.rect(0, 0, width, height, fill="#ffffff", line=0)
    fitting = min(LARGE, (width - 2 * MARGIN) / text_width(title, 1.0))
    canvas.text(MARGIN, 24, title, size=fitting, anchor=Anchor.START, bold=True)
    view = _View(scale, 250.0 - box.lo[1] * scale, HEAD + (high + ground) * scale)
    for board in casework.boards:
        _side(canvas, view, board)
    if carried.screen:
        _screen(canvas, view, casework, carried, state)
    _triangle(canvas, view, casework, state)
    if carried.unknown:
        canvas.text(
            MARGIN,
            48,
            f"Without {' and '.join(what for _, what in carried.unknown)}: the mass is not known.",
            size=PLAIN,
            anchor=Anchor.START,
        )
    return canvas.markup()


class _View:
    """From mm in the room to px: `right` is X or Y, `up` is Z."""

    def __init__(self, scale: float, left: float, top: float):
        self.scale, self.left, self.top = scale, left, top

    def point(self, right: float, up: float) -> tuple[float, float]:
        return self.left + right * self.scale, self.top - up * self.scale

    def box(self, box: Box, axis: int) -> tuple[float, float, float, float]:
        x, y = self.point(box.lo[axis], box.hi[2])
        return x, y, box.size[axis] * self.scale, box.size[2] * self.scale


def _plain(canvas: Canvas, view: _View, board: Board) -> None:
    canvas.rect(*view.box(board.box, 0), fill="#ffffff", line=0.8)


def _sagged(
    canvas: Canvas, view: _View, found: Sags, board: Board, sag: Sag, times: float, number: int
) -> None:
    """A level board bent as it sags, with its number and the share of the limit it uses."""
    xs, zs = found.line(board.name, sag.line.y_mm(board))
    half = board.thickness / 2
    middle = board.box.centre[2]
    upper = [view.point(x, middle + half + times * z) for x, z in zip(xs, zs, strict=True)]
    lower = [view.point(x, middle - half + times * z) for x, z in zip(xs, zs, strict=True)]
    fill = next(shade for most, shade in SHADES if sag.used <= most)
    canvas.polygon([*upper, *reversed(lower)], fill=fill, line=1.4)
    x, y = view.point(sag.at_mm, middle - half + times * float(zs.min()))
    words = f"{number}: {sag.used:.0%}"
    wide = text_width(words, SMALL)
    canvas.rect(x - wide / 2, y + 5, wide, 17, fill="#ffffff", line=0.6)
    canvas.text(x, y + 14, words, size=SMALL, bold=True)


def _loads(canvas: Canvas, view: _View, casework: Casework, carried: Carried) -> None:
    """Arrows for point loads, brackets for spread ones."""
    for load in carried.points:
        x, y = view.point(load.x_mm, casework.by_name[load.board].box.hi[2])
        canvas.line(x, y - 26, x, y - 2, width=1.6)
        canvas.line(x - 4, y - 9, x, y - 2, width=1.6)
        canvas.line(x + 4, y - 9, x, y - 2, width=1.6)
        canvas.text(x + 8, y - 19, f"{load.kg:.1f} kg", size=SMALL, anchor=Anchor.START)
    taken: dict[str, list[float]] = {}  # by board: where the words of each row end
    for line in sorted(carried.lines, key=lambda one: one.x0_mm):
        if line.what in casework.door_names:
            continue
        x0, y = view.point(line.x0_mm, casework.by_name[line.board].box.hi[2])
        x1, _ = view.point(line.x1_mm, 0.0)
        canvas.line(x0, y - 8, x1, y - 8, width=1.2)
        canvas.line(x0, y - 8, x0, y - 2, width=1.2)
        canvas.line(x1, y - 8, x1, y - 2, width=1.2)
        words = f"{line.what} {line.kg:.1f} kg"
        half = text_width(words, SMALL) / 2
        rows = taken.setdefault(line.board, [])
        row = next((n for n, end in enumerate(rows) if end < (x0 + x1) / 2 - half), len(rows))
        rows[row : row + 1] = [(x0 + x1) / 2 + half]
        canvas.text((x0 + x1) / 2, y - 18 - 14 * row, words, size=SMALL)


def _row(
    canvas: Canvas, casework: Casework, sag: Sag, number: int, y: float, missing: tuple[str, ...]
) -> None:
    say = casework.say
    words = (
        f"{number}  {sag.board}: {say(sag.later_mm)} over {say(sag.span_mm)} after years "
        f"({say(sag.now_mm)} now), {say(sag.allowed_mm)} allowed"
    )
    if missing:
        words += f"; without {' and '.join(missing)}, whose mass is not known"
    canvas.text(MARGIN, y, words, size=PLAIN, anchor=Anchor.START)


def _screen_height(carried: Carried) -> float:
    return carried.screen.upper if carried.screen else 0.0


def _side(canvas: Canvas, view: _View, board: Board) -> None:
    """A board from the side; what lies behind a side is left out."""
    if board.name.startswith("divider"):
        return
    shelf = board.name.startswith(("shelf", "door", "back"))
    canvas.rect(*view.box(board.box, 1), line=0.5 if shelf else 1.2)


def _screen(
    canvas: Canvas, view: _View, casework: Casework, carried: Carried, state: State
) -> None:
    screen = carried.screen
    if screen is None:
        return
    mass = screen_mass(casework, screen, forward=state.forward)
    if mass is None:
        return
    top = casework.frame.top.box.hi[2]
    _, y, _ = mass.at
    x0, y0 = view.point(y - 25, top + screen.upper)
    canvas.rect(
        x0,
        y0,
        50 * view.scale,
        screen.height * view.scale,
        line=1.2,
    )
    half = (screen.foot_depth or FOOT_DEPTH) / 2
    a, b = view.point(y - half, top), view.point(y + half, top)
    canvas.line(*a, *b, width=3.0)
    canvas.line(*view.point(y, top), *view.point(y, top + screen.lower), width=1.2)


def _triangle(canvas: Canvas, view: _View, casework: Casework, state: State) -> None:
    """Floor, tip line, centre of mass, and the slope that the rule asks for."""
    ground = state.base.lo[2]
    front, rear = state.base.lo[1], state.base.hi[1]
    _, y, z = state.mass.at
    floor = view.point(front, ground)[1]
    canvas.line(view.point(front, 0)[0] - 160, floor, view.point(rear, 0)[0] + 120, floor, width=2)
    tip, centre, foot = view.point(front, ground), view.point(y, z), view.point(y, ground)
    canvas.line(*tip, *centre, width=1.8)
    canvas.line(*centre, *foot, width=1.2, dash="6 4")
    canvas.circle(*centre, 6, fill="#ffffff", line=1.8)
    canvas.circle(*centre, 2, fill="#1c1a18", line=0)
    upright = z - ground
    reach = upright * tan(radians(SLOPE))
    canvas.line(*tip, *view.point(front + reach, z), width=1.2, dash="2 4")
    say = casework.say
    x = view.point(max(rear, casework.box.hi[1]), 0)[0] + 24
    notes = (
        f"{state.mass.kg:.0f} kg",
        f"{say(state.height)} high",
        f"{say(state.arm(Way.FORWARD))} behind the tip line",
        f"tips at {state.angle(Way.FORWARD):.1f} degrees",
        f"dotted: the {SLOPE:.0f} degrees of the rule",
    )
    for number, words in enumerate(notes):
        canvas.text(x, centre[1] + 18 * number, words, size=PLAIN, anchor=Anchor.START)
    canvas.text(tip[0], floor + 18, "tip line", size=SMALL)
    push = view.point(casework.box.lo[1], ground + state.push)
    canvas.line(push[0] - 74, push[1], push[0] - 4, push[1], width=1.6)
    canvas.line(push[0] - 74, push[1], push[0] - 66, push[1] - 4, width=1.6)
    canvas.line(push[0] - 74, push[1], push[0] - 66, push[1] + 4, width=1.6)
    canvas.text(
        push[0] - 8,
        push[1] - 14,
        f"pulled by {casework.force(state.force(Way.FORWARD))}",
        size=SMALL,
        anchor=Anchor.END,
    )
    canvas.text(
        MARGIN,
        floor + 48,
        "Not a certified test: anchor the case and the screen to the wall.",
        size=PLAIN,
        anchor=Anchor.START,
    )
