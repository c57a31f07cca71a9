"""The plan pack: everything a maker takes to the shop, in one folder.

It is written to a fresh folder beside the wanted one and swapped in when complete, so that a
run that fails or is killed leaves an earlier pack whole.
"""

import os
import shutil
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from kit.casework import Casework
from kit.errors import OutputError
from kit.finding import Report
from kit.plan_pack import files
from kit.plan_pack.book import Book, Standing
from kit.plan_pack.files import MANIFEST
from kit.plan_pack.progress import Progress
from kit.title_block import Paper


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

    Raises OutputError where the folder holds something else than a pack, or cannot be written;
    CancelledError when `cancelled` says so; and what either of them raises. Each of these leaves
    the folder as it was.
    """
    folder = Path(folder)
    design = casework.design
    paper = paper or design.pack.paper or Paper.usual(design.shop.units)
    _refuse_other_files(folder)
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        aside = Path(tempfile.mkdtemp(dir=folder.parent, prefix=f".{folder.name}."))
    except OSError as error:
        raise OutputError(f"{folder} cannot be written: {error.strerror or error}.") from None
    try:
        report, book = files.fill(
            aside, casework, design_text, progress=progress, cancelled=cancelled, paper=paper
        )
        names = tuple(sorted(p.relative_to(aside).as_posix() for p in files.files_in(aside)))
        os.chmod(aside, 0o755)
        _swap(aside, folder)
    except OSError as error:
        if isinstance(error, OutputError):
            raise
        raise OutputError(f"{folder} cannot be written: {error.strerror or error}.") from None
    finally:
        shutil.rmtree(aside, ignore_errors=True)
    return Pack(folder, names, report, book)


def _refuse_other_files(folder: Path) -> None:
    """Replace only what this program wrote."""
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise OutputError(f"{folder} is not a folder; choose another place for the pack.")
    try:
        foreign = folder.is_dir() and any(folder.iterdir()) and not (folder / MANIFEST).is_file()
    except OSError as error:
        raise OutputError(f"{folder} cannot be read: {error.strerror or error}.") from None
    if foreign:
        raise OutputError(
            f"{folder} holds other files than a plan pack; choose an empty or a new folder."
        )


def _swap(fresh: Path, folder: Path) -> None:
    """Put `fresh` in the place of `folder`; put the old one back should that fail."""
    if not folder.exists():
        os.rename(fresh, folder)
        return
    old = Path(tempfile.mkdtemp(dir=folder.parent, prefix=f".{folder.name}.old."))
    os.rename(folder, old / "pack")
    try:
        os.rename(fresh, folder)
    except OSError:
        os.rename(old / "pack", folder)
        raise
    finally:
        shutil.rmtree(old, ignore_errors=True)
