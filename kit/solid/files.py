"""STEP and GLB files of an assembly."""

import errno
import os
import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import count
from pathlib import Path

import cadquery as cq
from cadquery.occ_impl.assembly import toCAF
from OCP.Message import Message_ProgressRange
from OCP.RWGltf import RWGltf_CafWriter
from OCP.RWMesh import RWMesh_CoordinateSystem
from OCP.TCollection import TCollection_AsciiString
from OCP.TColStd import TColStd_IndexedDataMapOfStringString

from kit.casework import Casework
from kit.errors import OutputError, SolidError
from kit.geometry import Box
from kit.own_files import is_plain_file
from kit.solid.assembly import assembly
from kit.solid.picture import CHORD_MM, CHORD_RAD

#: The date in the head of every STEP file: the same design gives the same bytes.
STEP_DATE = "2000-01-01T00:00:00"
#: How one begins, and ends where it is whole. Source: ISO 10303-21.
STEP_BEGINS, STEP_END = b"ISO-10303-21;", "END-ISO-10303-21;"
#: How binary glTF begins. Source: Khronos glTF 2.0, section 4.4 (from memory).
GLB_BEGINS = b"glTF"


@dataclass(frozen=True, slots=True)
class StepSolid:
    """What a STEP file holds under one name: volume, and box in the room."""

    volume_mm3: float
    box: Box


def write_step(casework: Casework, path: Path) -> None:
    """Write the assembly as STEP AP214 in mm, whole or not at all; one design, the same bytes.

    Of what is there only a STEP file is replaced. Raises SolidError where a board cannot be built,
    OutputError where it cannot be written.
    """
    tree = assembly(casework)
    with _aside(path, STEP_BEGINS) as draft:
        tree.export(str(draft), exportType="STEP", unit="MM")
        text = draft.read_text(encoding="ascii")
        if not text.rstrip().endswith(STEP_END):
            # the kernel's writer does not say so
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        draft.write_text(_canonical(text), encoding="ascii")


def write_glb(casework: Casework, path: Path) -> None:
    """Write the assembly as binary glTF: metres, Y up, as that format wants it.

    Of what is there only such a file is replaced. Raises SolidError where a board cannot be built,
    OutputError where it cannot be written.
    """
    _, document = toCAF(assembly(casework), True, True, CHORD_MM, CHORD_RAD)
    with _aside(path, GLB_BEGINS) as draft:
        writer = RWGltf_CafWriter(TCollection_AsciiString(str(draft)), True)
        converter = writer.ChangeCoordinateSystemConverter()
        converter.SetInputLengthUnit(0.001)
        converter.SetInputCoordinateSystem(RWMesh_CoordinateSystem.RWMesh_CoordinateSystem_Zup)
        writer.SetMergeFaces(True)  # one mesh a board, not one a face
        notes = TColStd_IndexedDataMapOfStringString()
        if not writer.Perform(document, notes, Message_ProgressRange()):
            raise OSError("the glTF writer failed")


def read_step(path: Path) -> dict[str, StepSolid]:
    """What a STEP file of boards holds, by name. Raises OutputError where it cannot be read."""
    try:
        tree = cq.Assembly.importStep(str(path))
    except (ValueError, RuntimeError) as error:
        raise OutputError(
            f"{path.name} cannot be read as STEP: {error}. Write it again."
        ) from error
    held = {}
    for child in tree.children:
        shape = cq.Compound.makeCompound(child.shapes).moved(child.loc)
        held[child.name] = StepSolid(shape.Volume(), _box(shape))
    return held


def _canonical(text: str) -> str:
    """STEP text without what changes from run to run: date, running number, order of colours.

    The writer breaks its lines by the width of the running number too, so those are joined again.
    """
    text = re.sub(r"(FILE_NAME\('[^']*',)'[^']*'", rf"\1'{STEP_DATE}'", text, count=1)
    number = count(1)
    text = re.sub(
        r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\()'\d+'([^;]*;)",
        lambda found: f"{found[1]}'{next(number)}'" + re.sub(r"\n\s*", "", found[2]),
        text,
    )
    style = re.search(r"^#(\d+) = MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION", text, re.MULTILINE)
    if style is None:
        return text
    head, rest = text[: style.start()], text[style.start() :]
    styles, end, tail = rest.partition("ENDSEC;")
    return head + _renumbered(styles, int(style[1])) + end + tail


def _renumbered(text: str, first: int) -> str:
    """Entities of STEP from number `first` on, in the order of the solids that they style.

    The writer walks the coloured solids by their addresses in memory, so theirs is chance.
    """
    entities = {int(n): re.sub(r"\n\s*", "", e) for n, e in re.findall(r"#(\d+) = ([^;]*);", text)}
    fresh: dict[int, int] = {}
    lines: dict[int, str] = {}

    def write(number: int) -> int:
        if number < first:
            return number
        if number not in fresh:
            fresh[number] = first + len(fresh)
            lines[fresh[number]] = re.sub(
                r"#(\d+)", lambda found: f"#{write(int(found[1]))}", entities[number]
            )
        return fresh[number]

    def styled(number: int) -> list[int]:
        refers = [int(n) for n in re.findall(r"#(\d+)", entities[number])]
        return [n for n in refers if n < first] or [first]

    for number in sorted(entities, key=styled):
        write(number)
    return "".join(f"#{number} = {lines[number]};\n" for number in sorted(lines))


@contextmanager
def _aside(path: Path, begins: bytes) -> Iterator[Path]:
    """A draft beside `path` with its suffix, put in its place when all went well.

    Through a link the file is written that it names; another kind of file there is left alone.
    """
    try:
        place = path.resolve()
        if os.path.lexists(place) and not _is_one(place, begins):
            raise OutputError(
                f"{path} is another kind of file, and was left alone; choose another name."
            )
        with tempfile.TemporaryDirectory(dir=place.parent, prefix=".draft-") as folder:
            draft = Path(folder) / place.name
            yield draft
            os.replace(draft, place)
    except (OSError, RuntimeError) as error:
        if isinstance(error, SolidError | OutputError):
            raise
        reason = getattr(error, "strerror", None) or error
        raise OutputError(f"{path} cannot be written: {reason}. Choose another folder.") from error


def _is_one(place: Path, begins: bytes) -> bool:
    """Whether a plain file begins like this; an empty one is as good."""
    if not is_plain_file(place):
        return False
    with place.open("rb") as file:
        return begins.startswith(file.read(len(begins)) or begins)


def _box(shape: cq.Shape) -> Box:
    b = shape.BoundingBox()
    return Box((b.xmin, b.ymin, b.zmin), (b.xmax, b.ymax, b.zmax))
