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
from kit.own_files import OF_FILE_MANAGERS, digest, is_plain_file
from kit.paper import Paper
from kit.plain_text import shown
from kit.plan_pack import files
from kit.plan_pack.book import Book, Standing
from kit.plan_pack.progress import Progress
from kit.plan_pack.swap import swap_in

#: So many of the files in the way are named.
TOLD = 5
#: How often a folder is looked at that other runs keep swapping.
MOST_LOOKS = 20


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

    Raises OutputError where the folder holds something else than a pack, or a file of the pack
    that was changed since, or cannot be written; SolidError where the kernel fails or crashes on
    a board, which it names; CancelledError when `cancelled` says so; and what either of them
    raises. Each of these leaves the folder as it was.
    """
    folder = Path(folder)
    place = _place(folder)
    design = casework.design
    paper = paper or design.pack.paper or Paper.usual(design.shop.units)
    _refuse_other_files(place, folder)
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
        _refuse_other_files(place, folder)  # it took a while, and somebody may have put some there
        swap_in(aside, place)
        try:
            _refuse_other_files(aside, folder)  # the very folder that was taken out
        except OutputError:
            _put_back(aside, place)
            raise
    except OSError as error:
        if isinstance(error, OutputError):
            raise
        raise _unwritten(folder, error) from None
    finally:
        shutil.rmtree(aside, ignore_errors=True)
    return Pack(folder, names, report, book)


def _put_back(old: Path, place: Path) -> None:
    """Put the folder that was taken out back; where that fails it stays, under another name."""
    try:
        swap_in(old, place)
    except OSError:
        kept = Path(tempfile.mkdtemp(dir=place.parent, prefix=f"{place.name[:80]}.kept."))
        os.rename(old, kept)
        raise OutputError(
            f"{place} has got files of yours while the pack was written; they are in {kept}."
        ) from None


def _unwritten(folder: Path, error: Exception) -> OutputError:
    reason = getattr(error, "strerror", None) or error
    return OutputError(
        f"{folder} cannot be written: {reason}; make room for it, or choose another place."
    )


def _place(folder: Path) -> Path:
    """Where a folder is in the end. Raises OutputError for a link: it is not followed."""
    try:
        if folder.is_symlink():
            raise OutputError(f"{folder} is a link; name the folder that it leads to.")
        return folder.resolve()
    except (OSError, ValueError, RuntimeError) as error:
        if isinstance(error, OutputError):
            raise
        raise _unwritten(folder, error) from None


def _refuse_other_files(place: Path, folder: Path) -> None:
    """Refuse to replace what this program did not write, or what somebody changed since.

    `folder` is what the maker calls it.
    """
    try:
        if not place.is_dir() or place.is_symlink():
            if os.path.lexists(place):
                raise OutputError(f"{folder} is not a folder; choose another place for the pack.")
            return
        foreign, changed = _not_to_lose(place)
    except (OSError, ValueError) as error:
        if isinstance(error, OutputError):
            raise
        reason = getattr(error, "strerror", None) or error
        raise OutputError(f"{folder} cannot be read: {reason}.") from None
    if foreign:
        raise OutputError(
            f"{folder} holds other files than a plan pack ({_named(foreign)}); move them, or "
            "choose an empty or a new folder."
        )
    if changed:
        raise OutputError(
            f"{folder} holds files that were changed since the pack was written "
            f"({_named(changed)}); move or delete them, or choose another folder."
        )


def _not_to_lose(place: Path) -> tuple[list[str], list[str]]:
    """What no pack of ours wrote into a folder, links and folders too, and what was changed.

    Another run may swap its pack in meanwhile: then what was read is of two packs, and it is
    looked at once more.
    """
    for _ in range(MOST_LOOKS):
        before = _which(place)
        found = _looked_at(place)
        if _which(place) == before:
            break
    return found


def _which(place: Path) -> tuple[int, int]:
    """Tells a folder from another that has taken its place."""
    stat = place.stat()
    return stat.st_ino, stat.st_ctime_ns


def _looked_at(place: Path) -> tuple[list[str], list[str]]:
    ours = files.listed(place)
    foreign, changed = [], []
    for name, path in _entries(place):
        if path.name in OF_FILE_MANAGERS and is_plain_file(path):
            continue
        if name not in ours or not is_plain_file(path):
            foreign.append(name)
        elif ours[name] not in ("", digest(path)):
            changed.append(name)
    return foreign, changed


def _entries(place: Path) -> Iterator[tuple[str, Path]]:
    """All that is in a folder; of the folders in it only that of a pack is looked into."""
    for path in sorted(place.iterdir()):
        if path.name == files.DRAWINGS and path.is_dir() and not path.is_symlink():
            yield from ((f"{path.name}/{inner.name}", inner) for inner in sorted(path.iterdir()))
        else:
            yield path.name, path


def _named(names: list[str]) -> str:
    told = [shown(name, most=80) for name in names[:TOLD]]
    more = len(names) - len(told)
    return ", ".join(told) + (f" and {more} more" if more else "")
