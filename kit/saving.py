"""Files written aside and swapped in whole; what somebody else wrote meanwhile is not lost."""

import ctypes
import errno
import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from kit.errors import OutputError

#: The name of the call that lets two names change places, and what it takes besides them:
#: on Linux from `renameat2(2)`, on macOS from `renamex_np(2)`.
_AT_FDCWD, _RENAME_EXCHANGE, _RENAME_SWAP = -100, 2, 2

#: From a file that is in the way to the sentence that says why it must stay; empty where it may go.
type Objection = Callable[[Path], str]


def write(path: str | Path, text: str, *, objection: Objection | None = None) -> None:
    """Write a text file aside and swap it in whole. Raises OutputError.

    Through a link it writes the file that the link names, and the link stays. What is
    write-protected, or no file, is left alone. `objection` is asked about the file that is there,
    and once more about the very file that was taken out: what comes in between is put back.
    """
    asked, aside = path, None
    try:
        path = Path(asked).resolve()
        if path.exists() and not path.is_file():
            raise OutputError(f"{asked} is no file; choose another place.")
        if path.exists() and not os.access(path, os.W_OK):
            raise PermissionError(errno.EACCES, "it is write-protected")
        if objection is not None and path.exists():
            _ask(objection, path)
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:80]}.")
        aside = Path(name)
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        mode = path.stat().st_mode & 0o777 if path.exists() else 0o644
        os.chmod(aside, mode)
        if objection is None:
            os.replace(aside, path)
        else:
            _put(aside, path, objection)
    except OutputError:
        raise
    except (OSError, ValueError, RuntimeError) as error:
        reason = getattr(error, "strerror", None) or error
        raise OutputError(f"{asked} cannot be written: {reason}; choose another place.") from None
    finally:
        if aside is not None:
            aside.unlink(missing_ok=True)


def exchanged(one: Path, other: Path) -> bool:
    """Let two names change places at one stroke, or say that the system cannot. Raises OSError."""
    names = (os.fsencode(one), os.fsencode(other))
    try:
        library = ctypes.CDLL(None, use_errno=True)
        if sys.platform == "darwin":
            failed = library.renamex_np(*names, _RENAME_SWAP)
        else:
            failed = library.renameat2(_AT_FDCWD, names[0], _AT_FDCWD, names[1], _RENAME_EXCHANGE)
    except (OSError, AttributeError, TypeError):
        return False
    if failed and ctypes.get_errno() in (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP):
        return False
    if failed:
        raise OSError(ctypes.get_errno(), os.strerror(ctypes.get_errno()))
    return True


def _put(aside: Path, path: Path, objection: Objection) -> None:
    """Put a file in its place; one that came meanwhile is asked about, too."""
    if not path.exists():
        try:
            os.link(aside, path)  # other than a renaming it replaces nothing
        except FileExistsError:
            pass
        except OSError:  # a disk without second names
            os.rename(aside, path)
            return
        else:
            return
    if not exchanged(aside, path):
        _ask(objection, path)
        os.replace(aside, path)
        return
    try:
        _ask(objection, aside)
    except BaseException:
        exchanged(aside, path)
        raise


def _ask(objection: Objection, there: Path) -> None:
    if why := objection(there):
        raise OutputError(why)
