"""What is used of ezdxf, imported without the settings of a stranger's folder.

ezdxf reads a file `ezdxf.ini` of the current folder as it is imported, and ends the program where
that file is not UTF-8. The maker's own settings, in the home folder, are left to it.
"""

import contextlib
import os
import sys
import tempfile
from collections.abc import Iterator


@contextlib.contextmanager
def _elsewhere() -> Iterator[None]:
    """In an empty folder, where settings lie in this one and are still to be read."""
    if "ezdxf" in sys.modules or not os.path.lexists("ezdxf.ini"):
        yield
        return
    with tempfile.TemporaryDirectory() as empty, contextlib.chdir(empty):
        yield


with _elsewhere():
    from ezdxf import options, units  # type: ignore[attr-defined]  # it exports all it imports
    from ezdxf.filemanagement import new

__all__ = ["new", "options", "units"]
