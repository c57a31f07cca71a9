"""Puts a folder in the place of another, at one stroke where the system can do that."""

import ctypes
import errno
import os
import shutil
import sys
import tempfile
from pathlib import Path

#: The name of the call that lets two folders change places, and what it takes besides them:
#: on Linux from `renameat2(2)`, on macOS from `renamex_np(2)`.
_AT_FDCWD, _RENAME_EXCHANGE, _RENAME_SWAP = -100, 2, 2


def swap_in(fresh: Path, place: Path) -> None:
    """Put the folder `fresh` at `place`; where there was one, it is gone afterwards.

    A process that is killed meanwhile leaves the old one whole or the new one, where the system
    and the disk let two folders change places; elsewhere there is a moment between two renamings
    in which the old one has another name. Raises OSError, and then `place` is as it was.
    """
    try:
        os.rename(fresh, place)  # nothing there, or an empty folder
    except OSError as error:
        if error.errno not in (errno.ENOTEMPTY, errno.EEXIST):
            raise
        if not _exchanged(fresh, place):
            _renamed(fresh, place)


def _exchanged(one: Path, other: Path) -> bool:
    """Let two folders change places, or say that the system cannot."""
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


def _renamed(fresh: Path, place: Path) -> None:
    """The same by two renamings; the old one is put back where the second fails."""
    old = Path(tempfile.mkdtemp(dir=place.parent, prefix=f".{place.name[:80]}.old."))
    try:
        os.rename(place, old / "pack")
        try:
            os.rename(fresh, place)
        except OSError:
            if not os.path.lexists(place):
                os.rename(old / "pack", place)
            raise
    finally:
        shutil.rmtree(old, ignore_errors=True)
