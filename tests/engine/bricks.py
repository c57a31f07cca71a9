"""Boxes of wood as bricks, joined by springs, solved by CalculiX (`ccx`).

Incompatible-mode bricks (C3D8I), orthotropic, on one grid for all bodies: each body has nodes of
its own, and where two bodies touch their nodes lie on each other, so that any joint is a spring
between two nodes. N, mm; z is up.
"""

import shutil
import subprocess
import tempfile
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

import numpy as np

from kit.geometry import Box

#: A spring that holds, N/mm.
STIFF = 1e6

type Node = tuple[str, int, int, int]


def there() -> bool:
    """Whether CalculiX is installed."""
    return shutil.which("ccx") is not None


@dataclass(frozen=True)
class Wood:
    """Moduli of a body along the axes of the room, MPa, and its density, kg/m³."""

    e: tuple[float, float, float]
    g_xy: float
    g_yz: float
    g_zx: float
    density: float = 0.0
    nu_xy: float = 0.0


@dataclass
class Bricks:
    """A structure of bricks on a grid of planes; bodies are named sets of cells."""

    planes: tuple[np.ndarray, np.ndarray, np.ndarray]
    cells: dict[str, list[tuple[int, int, int]]]
    wood: dict[str, Wood]
    numbers: dict[Node, int] = field(default_factory=dict)
    springs: list[tuple[int, int, int, float]] = field(default_factory=list)
    grounded: list[tuple[int, int, float]] = field(default_factory=list)
    fixed: set[tuple[int, int]] = field(default_factory=set)
    forces: defaultdict[tuple[int, int], float] = field(default_factory=lambda: defaultdict(float))

    def __post_init__(self) -> None:
        for name, cells in self.cells.items():
            for i, j, k in cells:
                for corner in _corners(i, j, k):
                    self.numbers.setdefault((name, *corner), len(self.numbers) + 1)
        self.of: defaultdict[str, set[tuple[int, int, int]]] = defaultdict(set)
        for name, *at in self.numbers:
            self.of[name].add(tuple(at))

    def at(self, corner: tuple[int, int, int]) -> tuple[float, float, float]:
        return tuple(float(p[i]) for p, i in zip(self.planes, corner, strict=True))

    def near(self, axis: int, value: float) -> int:
        """The plane nearest to a coordinate."""
        return int(np.abs(self.planes[axis] - value).argmin())

    def touching(self, one: str, other: str) -> list[tuple[int, int, int]]:
        """Grid points where two bodies lie on each other."""
        return sorted(self.of[one] & self.of[other])

    def tributary(self, corners: Sequence[tuple[int, int, int]], axis: int) -> dict[int, float]:
        """The length that each plane of some grid points stands for along an axis, mm."""
        found = sorted({c[axis] for c in corners})
        share = dict.fromkeys(found, 0.0)
        for a, b in pairwise(found):
            half = float(self.planes[axis][b] - self.planes[axis][a]) / 2
            share[a] += half
            share[b] += half
        return share

    def tie(
        self, one: str, other: str, corner: tuple[int, int, int], axis: int, n_mm: float
    ) -> None:
        """A spring between two bodies at a grid point, along an axis."""
        a, b = self.numbers[one, *corner], self.numbers[other, *corner]
        self.springs.append((a, b, axis + 1, n_mm))

    def press(self, name: str, box: Box, newton: float) -> None:
        """A force downwards, even over the part of a body's upper face within a box in x and y."""
        faces = defaultdict(float)
        top = max(k for _, _, k in self.of[name])
        cells = {(i, j) for i, j, k in self.cells[name]}
        for i, j in cells:
            x0, x1 = self.planes[0][i], self.planes[0][i + 1]
            y0, y1 = self.planes[1][j], self.planes[1][j + 1]
            shared = (
                (min(x1, box.hi[0]) - max(x0, box.lo[0])),
                (min(y1, box.hi[1]) - max(y0, box.lo[1])),
            )
            if min(shared) <= 0:
                continue
            for di in (0, 1):
                for dj in (0, 1):
                    node = self.numbers.get((name, i + di, j + dj, top))
                    if node is not None:
                        faces[node] += shared[0] * shared[1] / 4
        whole = sum(faces.values())
        for node, area in faces.items():
            self.forces[node, 3] -= newton * area / whole

    def solve(self, gravity: float = 9.80665) -> np.ndarray:
        """Displacements of the nodes, (n + 1, 3) mm, by number."""
        with tempfile.TemporaryDirectory() as folder:
            deck = Path(folder, "job.inp")
            deck.write_text("\n".join(self._deck(gravity)))
            done = subprocess.run(
                ["ccx", "-i", "job"], cwd=folder, capture_output=True, text=True, check=False
            )
            told = Path(folder, "job.dat")
            if done.returncode or not told.exists():
                raise RuntimeError(done.stdout[-2000:] + done.stderr[-2000:])
            found = np.full((len(self.numbers) + 1, 3), np.nan)
            for line in told.read_text().splitlines():
                words = line.split()
                if len(words) == 4 and words[0].isdigit():
                    found[int(words[0])] = [float(w) for w in words[1:]]
        return found

    def _deck(self, gravity: float) -> Iterable[str]:
        yield "*NODE, NSET=ALL"
        for (_, *corner), number in self.numbers.items():
            x, y, z = self.at(tuple(corner))
            yield f"{number}, {x:.6f}, {y:.6f}, {z:.6f}"
        element = 0
        for body, (name, cells) in enumerate(self.cells.items()):
            yield f"*ELEMENT, TYPE=C3D8I, ELSET=B{body}"
            for i, j, k in cells:
                element += 1
                nodes = [self.numbers[name, *c] for c in _corners(i, j, k)]
                yield f"{element}, " + ", ".join(map(str, nodes))
            wood = self.wood[name]
            (ex, ey, ez), nu = wood.e, wood.nu_xy
            yield f"*MATERIAL, NAME=M{body}"
            yield "*ELASTIC, TYPE=ENGINEERING CONSTANTS"
            yield f"{ex}, {ey}, {ez}, {nu}, 0., 0., {wood.g_xy}, {wood.g_zx}"
            yield f"{wood.g_yz}, 293."
            yield "*DENSITY"
            yield f"{wood.density * 1e-12:.6e}"
            yield f"*SOLID SECTION, ELSET=B{body}, MATERIAL=M{body}"
        groups: defaultdict[tuple[int, str], list[tuple[int, int]]] = defaultdict(list)
        for a, b, axis, n_mm in self.springs:
            groups[axis, f"{n_mm:.5e}"].append((a, b))
        for group, ((axis, n_mm), pairs) in enumerate(groups.items()):
            yield f"*ELEMENT, TYPE=SPRING2, ELSET=S{group}"
            for a, b in pairs:
                element += 1
                yield f"{element}, {a}, {b}"
            yield f"*SPRING, ELSET=S{group}"
            yield f"{axis}, {axis}"
            yield n_mm
        single: defaultdict[tuple[int, str], list[int]] = defaultdict(list)
        for a, axis, n_mm in self.grounded:
            single[axis, f"{n_mm:.5e}"].append(a)
        for group, ((axis, n_mm), ones) in enumerate(single.items()):
            yield f"*ELEMENT, TYPE=SPRING1, ELSET=G{group}"
            for a in ones:
                element += 1
                yield f"{element}, {a}"
            yield f"*SPRING, ELSET=G{group}"
            yield f"{axis}"
            yield n_mm
        yield "*BOUNDARY"
        for node, axis in sorted(self.fixed):
            yield f"{node}, {axis}, {axis}"
        yield "*STEP"
        yield "*STATIC"
        if gravity:
            yield "*DLOAD"
            for body in range(len(self.cells)):
                yield f"B{body}, GRAV, {gravity * 1e3}, 0., 0., -1."
        if self.forces:
            yield "*CLOAD"
            for (node, axis), force in self.forces.items():
                yield f"{node}, {axis}, {force:.8e}"
        yield "*NODE PRINT, NSET=ALL"
        yield "U"
        yield "*END STEP"
        yield ""


def grid(
    needed: Sequence[Iterable[float]], wanted: Sequence[Iterable[float]], size: float, same: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Planes along each axis: the needed, wanted ones not near them, and no gap over `size`."""
    found = []
    for must, may in zip(needed, wanted, strict=True):
        planes: list[float] = []
        for value in [*sorted(must), *may]:
            if all(abs(value - p) > same for p in planes):
                planes.append(value)
        planes.sort()
        full = [planes[0]]
        for a, b in pairwise(planes):
            count = max(1, round((b - a) / size + 0.4))
            full += [a + (b - a) * i / count for i in range(1, count + 1)]
        found.append(np.array(full))
    return tuple(found)


def _corners(i: int, j: int, k: int) -> list[tuple[int, int, int]]:
    low = [(i, j, k), (i + 1, j, k), (i + 1, j + 1, k), (i, j + 1, k)]
    return [*low, *((a, b, c + 1) for a, b, c in low)]
