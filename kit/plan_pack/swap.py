"""Puts a folder in the place of another, at one stroke where the system can do that."""

import errno
import os
import tempfile
from pathlib import Path

from kit.saving import exchanged


def swap_in(fresh: Path, place: Path) -> None:
    """Put the folder `fresh` at `place`; where there was one, it is at `fresh` afterwards.

    A process that is killed meanwhile leaves the old one whole or the new one, where the system
    and the disk let two folders change places; elsewhere there is a moment between two renamings
    in which the old one has another name. Raises OSError, and then `place` is as it was.
    """
    try:
        os.rename(fresh, place)  # nothing there, or an empty folder
    except OSError as error:
        if error.errno not in (errno.ENOTEMPTY, errno.EEXIST):
            raise
        if not exchanged(fresh, place):
            _renamed(fresh, place)


def _renamed(fresh: Path, place: Path) -> None:
    """The same by renamings; the old one is put back where the second fails."""
    beside = Path(tempfile.mkdtemp(dir=place.parent, prefix=f".{place.name[:80]}.old."))
    old = beside / "pack"
    try:
        os.rename(place, old)
        try:
            os.rename(fresh, place)
        except OSError:
            if not os.path.lexists(place):
                os.rename(old, place)
            raise
        os.rename(old, fresh)
    finally:
        if not os.path.lexists(old):
            beside.rmdir()
