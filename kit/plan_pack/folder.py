"""The plan pack: everything a maker takes to the shop, in one folder.

It is written to a fresh folder beside the wanted one and swapped in when complete, so that a
run that fails or is killed leaves an earlier pack whole.
"""

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from kit.casework import Casework
from kit.errors import OutputError
from kit.finding import Report
from kit.paper import Paper
from kit.plan_pack import files
from kit.plan_pack.book import Book, Standing
from kit.plan_pack.progress import Progress
from kit.plan_pack.swap import swap_in


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack that has been written; `book` is what `plan.pdf` was printed from."""

    folder: Path
    files: tuple[str, ...]
    report: Report
    book: Book

    @property
    def standing(self) -> Standing:
        """Whether it is released, or a draft and why."""
        return self.book.standing


def write_pack(
    casework: Casework,
    design_text: str,
    folder: str | Path,
    *,
    progress: Callable[[Progress], None] = lambda step: None,
    cancelled: Callable[[], bool] = lambda: False,
    paper: Paper | None = None,
) -> Pack:
    """Write the whole pack of a design into `folder`, replacing an earlier pack there.

    `design_text` is the design file as used, `paper` that of the plans; else what the design
    names, else what is usual. `progress` is told each step before it begins. `cancelled` is asked
    at each step, and many times a second while sheets are laid out.

    It may run in a worker thread, and calls both there; then the main thread waits for it half a
    second at most, while the solid kernel is loaded, and a tenth of one after that.

    Two runs into one folder do not mix: the one that ends last is what is there.

    Raises OutputError where the folder holds something else than a pack, or cannot be written;
    SolidError where the kernel fails or crashes on a board, which it names; CancelledError when
    `cancelled` says so; and what either of them raises. Each of these leaves the folder as it was.
    """
    folder = Path(folder)
    place = Path(os.path.abspath(folder))
    design = casework.design
    paper = paper or design.pack.paper or Paper.usual(design.shop.units)
    _refuse_other_files(folder)
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        aside = Path(tempfile.mkdtemp(dir=place.parent, prefix=f".{place.name[:80]}."))
    except (OSError, ValueError) as error:
        raise _unwritten(folder, error) from None
    try:
        report, book = files.fill(
            aside, casework, design_text, progress=progress, cancelled=cancelled, paper=paper
        )
        names = tuple(sorted(p.relative_to(aside).as_posix() for p in files.files_in(aside)))
        os.chmod(aside, 0o755)
        _refuse_other_files(folder)  # it took a while, and somebody may have put some there
        swap_in(aside, place)
    except OSError as error:
        if isinstance(error, OutputError):
            raise
        raise _unwritten(folder, error) from None
    finally:
        shutil.rmtree(aside, ignore_errors=True)
    return Pack(folder, names, report, book)


def _unwritten(folder: Path, error: Exception) -> OutputError:
    reason = getattr(error, "strerror", None) or error
    return OutputError(
        f"{folder} cannot be written: {reason}; make room for it, or choose another place."
    )


def _refuse_other_files(folder: Path) -> None:
    """Replace only what this program wrote."""
    try:
        if folder.is_symlink():
            raise OutputError(f"{folder} is a link; name the folder that it leads to.")
        if not folder.is_dir():
            if folder.exists():
                raise OutputError(f"{folder} is not a folder; choose another place for the pack.")
            return
        foreign = next(_foreign(folder), None)
    except (OSError, ValueError) as error:
        if isinstance(error, OutputError):
            raise
        reason = getattr(error, "strerror", None) or error
        raise OutputError(f"{folder} cannot be read: {reason}.") from None
    if foreign is not None:
        raise OutputError(
            f"{folder} holds other files than a plan pack ({foreign}); move them, or choose an "
            "empty or a new folder."
        )


def _foreign(folder: Path) -> Iterator[str]:
    """The files in a folder that no pack of ours wrote; hidden ones are the system's."""
    ours = files.listed(folder)
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if not path.name.startswith(".") and not path.is_dir() and name not in ours:
            yield name
