"""The folder of a search: what it wrote there itself is replaced, and nothing else."""

import os
import re
from collections.abc import Iterable, Mapping
from functools import partial
from pathlib import Path

from kit.errors import OutputError
from kit.own_files import digest, digest_of, is_plain_file, sealed, unsealed
from kit.saving import write

ANSWERS, TABLE, PICTURE = "answers.jsonl", "found.csv", "trade-offs.svg"
#: Hashes of the files that the last search left here.
RECORD, SEAL = "written.json", "record_sha256"
#: What a record can speak of: no record makes another file a search's own.
_NAMES = re.compile(rf"[0-9]{{2,}}\.toml|{re.escape(TABLE)}|{re.escape(PICTURE)}")

type _Hashes = dict[str, list[str]]


def design_name(number: int, of: int) -> str:
    """The name of the design file of a row, of so many."""
    return f"{number:0{max(2, len(str(of)))}d}.toml"


def refuse_what_is_in_the_way(
    folder: Path, begins: Path, names: Iterable[str] = (design_name(1, 1), TABLE, PICTURE)
) -> None:
    """Refuse a folder in which one of these files is not the last search's own.

    `begins` is the design file that the search begins with. Raises OutputError.
    """
    if folder.is_symlink():
        raise OutputError(f"{folder} is a link; name the folder that it leads to.")
    if folder.exists() and not folder.is_dir():
        raise OutputError(f"{folder} is not a folder; choose another place for what is found.")
    ours = _recorded(folder)
    try:
        for name in names:
            if why := _objection(folder / name, ours.get(name, []), begins):
                raise OutputError(why)
    except OSError as error:
        if isinstance(error, OutputError):
            raise
        raise OutputError(f"{folder} cannot be read: {error.strerror or error}.") from None


def write_found(folder: Path, begins: Path, files: Mapping[str, str]) -> None:
    """Write what a search found, and the hashes of it. Raises OutputError, as above.

    What is to be written is recorded before, so that a run that is killed in between knows it.
    """
    refuse_what_is_in_the_way(folder, begins, files)
    before = _recorded(folder)
    fresh = {name: [digest_of(text)] for name, text in files.items()}
    both = before | {name: before.get(name, []) + fresh[name] for name in files}
    write(folder / RECORD, sealed({"sha256": both}, SEAL))
    for name, text in files.items():
        place = folder / name
        write(place, text, objection=partial(_changed, ours=both[name], path=place))
    left = {name: hashes for name, hashes in before.items() if digest(folder / name) in hashes}
    write(folder / RECORD, sealed({"sha256": left | fresh}, SEAL))


def not_of_this_search(folder: Path, files: Iterable[str]) -> list[str]:
    """The numbered design files in the folder besides these."""
    return sorted({file.name for file in folder.glob("[0-9]*.toml")} - set(files))


def _recorded(folder: Path) -> _Hashes:
    path = folder / RECORD
    if not os.path.lexists(path):
        return {}
    said = unsealed(path, SEAL)
    hashes = said.get("sha256") if said else None
    if not isinstance(hashes, dict):
        raise OutputError(
            f"{path} is not, or no longer, the record of a search; move it, or choose another "
            "folder."
        )
    return {
        name: [str(one) for one in some]
        for name, some in hashes.items()
        if _NAMES.fullmatch(name) and isinstance(some, list)
    }


def _objection(path: Path, ours: list[str], begins: Path) -> str:
    if not os.path.lexists(path):
        return ""
    if not is_plain_file(path):
        return f"{path} is a link, or no file; move it, or choose another folder."
    if begins.exists() and path.samefile(begins):
        return f"{path} is what the search begins with; choose another folder for what is found."
    return _changed(path, ours, path)


def _changed(there: Path, ours: list[str], path: Path) -> str:
    if digest(there) in ours:
        return ""
    return (
        f"{path} is not, or no longer, as a search has written it; move or delete it, or choose "
        "another folder."
    )
