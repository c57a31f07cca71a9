"""Eight consoles solved in three dimensions beside the kit: the sag of every level board.

    uv run python tests/engine_consoles.py [NAME ...]

CalculiX (Debian's `calculix-ccx`, seen with 2.20) solves incompatible-mode bricks made of the
boards' boxes (`tests/engine/`); it is held against a beam and two plates of the books first. The
kit's figure is that of `kit.checks.strength.carcase`, now, with the typical stiffness of the
joints. Boards that sag more than 0.1 mm are to agree within 0.85 to 1.15 on their worst line.
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from engine.bricks import Bricks, Wood, grid, there
from engine.consoles import bricks_of, lines_of
from kit.casework import build
from kit.checks.loads import loads
from kit.checks.strength.carcase import carcase
from kit.checks.strength.sag import Line, dip, droop, stretches
from kit.design import Design
from kit.geometry import Box

#: Kit over engine, and the sag below which nothing is compared, mm.
NEAR, SEEN = (0.85, 1.15), 0.1

RECEIVER = {"name": "receiver", "kind": "receiver", "mass_kg": 15}
AMPLIFIER = {"name": "amplifier", "kind": "stereo-amplifier", "mass_kg": 18, "on": "shelf-1"}


def _screen(inches: int, kg: float, feet: int, **more: object) -> dict[str, object]:
    return {
        "diagonal": f"{inches} in", "mass_kg": kg, "feet": f"{feet} mm",
        "foot_width": "50 mm", "foot_depth": "300 mm", **more,
    }  # fmt: skip


def _case(width: int, height: int, depth: int, stock: str, corner: str, **more: object):
    sizes = {"width": f"{width} mm", "height": f"{height} mm", "depth": f"{depth} mm"}
    return {**sizes, "stock": stock, "corner": corner, **more}


CONSOLES: dict[str, dict[str, object]] = {
    "900, plinth, no back, fixed shelf": {
        "case": _case(900, 520, 420, "birch-ply-18", "dado", inset_bottom="0 mm"),
        "screen": _screen(43, 12, 700),
        "shelf": [{"bay": 1, "clear_below": "220 mm"}],
        "gear": [{**RECEIVER, "bay": 1}],
        "content": [{"kind": "records", "bay": 1, "on": "shelf-1"}],
        "base": {"kind": "plinth", "height": "90 mm"},
    },
    "1200, legs, no back, pins, gear in front": {
        "case": _case(1200, 480, 450, "maple-ply-3/4", "rabbet"),
        "divider": [{"at": "600 mm"}],
        "screen": _screen(50, 16, 900, set_back="20 mm"),
        "shelf": [{"bay": 1, "clear_below": "200 mm", "held": "pins"}],
        "gear": [{**AMPLIFIER, "bay": 1}, {**RECEIVER, "bay": 2}],
        "base": {"kind": "legs", "height": "150 mm", "leg_stock": "hard-maple-board-8/4"},
    },
    "1500, beam, screwed back, lipped on pins": {
        "case": _case(1500, 500, 440, "baltic-birch-18", "dado", inset_bottom="0 mm"),
        "divider": [{"at": "800 mm"}],
        "screen": _screen(65, 24, 1100),
        "shelf": [{
            "bay": 1, "clear_below": "210 mm", "held": "pins",
            "lipping": {"stock": "white-oak-board-4/4", "height": "40 mm"},
        }],
        "gear": [{**AMPLIFIER, "bay": 1}],
        "back": {"stock": "baltic-birch-6", "panels": [
            {"bays": [1], "removable": True}, {"bays": [2], "removable": True},
        ]},
        "base": {"kind": "beam", "height": "100 mm", "rail_in": "250 mm"},
    },
    "1600, on its side ends, glued back": {
        "case": _case(1600, 560, 430, "walnut-ply-3/4", "dado", inset_bottom="60 mm"),
        "divider": [{"at": "800 mm"}],
        "screen": _screen(65, 26, 1200),
        "shelf": [{"bay": 2, "clear_below": "200 mm"}],
        "content": [{"kind": "records", "bay": 1}],
        "back": {"stock": "walnut-ply-1/4", "panels": [{"bays": [1, 2]}]},
    },
    "1800, beam, butt corners, let-in back": {
        "case": _case(1800, 480, 450, "baltic-birch-18", "butt"),
        "divider": [{"at": "900 mm"}],
        "screen": _screen(75, 38, 1250, foot_depth="320 mm"),
        "shelf": [{"bay": 1, "clear_below": "200 mm", "held": "pins"}],
        "gear": [{**AMPLIFIER, "bay": 1}, {**RECEIVER, "bay": 2}],
        "doors": {"stock": "baltic-birch-12", "layout": "bypass", "count": 2},
        "back": {"stock": "baltic-birch-6", "method": "let-in", "panels": [{"bays": [1, 2]}]},
        "base": {"kind": "beam", "height": "90 mm", "rail_in": "200 mm"},
    },
    "1830, beam far in, records": {
        "case": _case(1830, 460, 560, "maple-ply-3/4", "rabbet"),
        "divider": [{"at": "915 mm"}],
        "screen": _screen(65, 22, 1170),
        "content": [{"kind": "records", "bay": 1}, {"kind": "records", "bay": 2}],
        "base": {"kind": "beam", "height": "100 mm", "rail_in": "710 mm"},
    },
    "2100, legs, glued back, doors, lipped": {
        "case": _case(2100, 500, 460, "white-oak-ply-3/4", "rabbet"),
        "divider": [{"at": "700 mm"}, {"at": "1400 mm"}],
        "screen": _screen(77, 30, 1100),
        "shelf": [
            {
                "bay": 1, "clear_below": "200 mm", "held": "pins", "stock": "white-oak-ply-1/2",
                "layers": 2, "lipping": {"stock": "white-oak-board-4/4", "height": "40 mm"},
            },
            {"bay": 3, "clear_below": "200 mm", "held": "pins"},
        ],
        "gear": [
            {**AMPLIFIER, "bay": 1}, {**RECEIVER, "bay": 2},
            {"name": "speaker", "kind": "centre-speaker", "bay": 3, "on": "shelf-2", "mass_kg": 15},
        ],
        "doors": {"stock": "white-oak-ply-1/2", "layout": "bypass", "count": 3},
        "back": {"stock": "white-oak-ply-1/4", "panels": [{"bays": [1, 2, 3]}]},
        "base": {
            "kind": "legs", "height": "150 mm", "leg_stock": "white-oak-board-8/4",
            "rail_height": "75 mm", "set_in": "50 mm",
        },
    },
    "2400, plinth, three dividers, part back": {
        "case": _case(2400, 500, 450, "maple-ply-3/4", "rabbet"),
        "divider": [{"at": "600 mm"}, {"at": "1200 mm"}, {"at": "1800 mm"}],
        "screen": _screen(85, 45, 1500, foot_depth="350 mm"),
        "shelf": [
            {"bay": 1, "clear_below": "220 mm", "held": "pins"},
            {"bay": 4, "clear_below": "220 mm"},
        ],
        "gear": [{**AMPLIFIER, "bay": 1}, {**RECEIVER, "bay": 2}],
        "back": {"stock": "maple-ply-1/4", "panels": [{"bays": [1]}, {"bays": [4]}]},
        "base": {"kind": "plinth", "height": "100 mm"},
    },
}  # fmt: skip


@dataclass(frozen=True)
class Compared:
    """The sag of one board on the line where the engine's is greatest, mm."""

    console: str
    board: str
    line: str
    engine_mm: float
    kit_mm: float

    @property
    def ratio(self) -> float:
        return self.kit_mm / self.engine_mm

    @property
    def agrees(self) -> bool:
        return self.engine_mm < SEEN or NEAR[0] <= self.ratio <= NEAR[1]


def textbook() -> Iterator[tuple[str, float, float]]:
    """What, the engine's figure and the book's: the engine before it judges anything."""
    e, h = 9000.0, 18.0
    yield (
        "strip on end lines, 5/384 (Wood Handbook 9-2), mm",
        _plate(800, 300, 240 / 800 / 300, "ends", 0.0),
        1.2193,
    )
    d = e * h**3 / 12 / 0.91
    for words, held, book in (
        ("square plate on four sides (Timoshenko), q a4 / D", "sides", 0.00406),
        ("square plate on four corners (Timoshenko), q a4 / D", "corners", 0.0255),
    ):
        yield words, _plate(500, 500, 1e-3, held, 0.3) * d / 1e-3 / 500**4, book


def _plate(long: float, wide: float, mpa: float, held: str, nu: float) -> float:
    """Deflection in the middle of a plate 18 mm thick, E 9000 MPa, mm."""
    e, h = 9000.0, 18.0
    g = e / 2 / (1 + nu)
    planes = grid([[0, long], [0, wide], [0, h]], [[], [], [h / 2]], 40.0, 0.5)
    counts = [range(len(p) - 1) for p in planes]
    cells = [(i, j, k) for i in counts[0] for j in counts[1] for k in counts[2]]
    made = Bricks(planes, {"plate": cells}, {"plate": Wood((e, e, e), g, g, g, 0.0, nu)})
    middle = made.near(2, h / 2)
    for corner in made.of["plate"]:
        x, y, _ = made.at(corner)
        if corner[2] != middle:
            continue
        node, end, side = made.numbers["plate", *corner], x in (0, long), y in (0, wide)
        if {"ends": end, "sides": end or side, "corners": end and side}[held]:
            made.fixed.add((node, 3))
        if end and y == 0:
            made.fixed.add((node, 2))
            if x == 0:
                made.fixed.add((node, 1))
    made.press("plate", Box((0, 0, 0), (long, wide, 0)), mpa * long * wide)
    moved = made.solve(0.0)
    at = (made.near(0, long / 2), made.near(1, wide / 2), middle)
    return -float(moved[made.numbers["plate", *at], 2])


def compared(name: str) -> Iterator[Compared]:
    """Every level board of a console, by the engine and by the kit."""
    work = build(Design.model_validate({"name": name, **CONSOLES[name]}))
    carried = loads(work)
    case = carcase(work, carried)
    own = case.structure.solved(case.load)
    made = bricks_of(work, carried, least=False)
    moved = made.solve()
    for board in case.level:
        plate = case.panel(board.name).plate
        assert plate is not None
        found = []
        for line, (_, xs, zs) in zip(Line, lines_of(made, board, moved), strict=True):
            fine = np.unique(np.concatenate([np.linspace(xs[0], xs[-1], 161), xs]))
            rows = plate.rows(fine, np.full(len(fine), line.y_mm(board)))
            kit = (own[rows.places] * rows.shares).sum(axis=1)
            pair = [_most(case, board, fine, z) for z in (np.interp(fine, xs, zs), kit)]
            found.append(Compared(name, board.name, line.name.lower(), *pair))
        yield max(found, key=lambda one: one.engine_mm)


def _most(case, board, xs, zs) -> float:
    found = []
    for x0, x1, free in stretches(case, board):
        x0, x1 = (min(max(x, xs[0]), xs[-1]) for x in (x0, x1))
        marks = np.unique(np.concatenate([xs, [x0, x1]]))
        off = droop if free else dip
        found.append(abs(off(marks, np.interp(marks, xs, zs), x0, x1)[0]))
    return max(found)


def main(names: list[str]) -> int:
    if not there():
        print("CalculiX is not installed: apt-get install calculix-ccx")
        return 2
    for words, engine, book in textbook():
        print(f"{words:58} {engine:8.5f} {book:8.5f}  {engine / book:5.3f}")
    print(f"{'console':44} {'board':9} {'line':7} {'engine':>8} {'kit':>8}  kit/engine")
    bad = 0
    for name in names or list(CONSOLES):
        for one in compared(name):
            bad += not one.agrees
            small = "  (small)" if one.engine_mm < SEEN else "" if one.agrees else "  <- far"
            print(
                f"{one.console:44} {one.board:9} {one.line:7} {one.engine_mm:8.3f} "
                f"{one.kit_mm:8.3f}  {one.ratio:5.2f}{small}",
                flush=True,
            )
    return int(bad > 0)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
