"""Settings that lie in the current folder, which may be a stranger's, are kept from libraries."""

import os
import sys


def keep_out() -> None:
    """Import the libraries that read settings of the current folder where there are none.

    ezdxf, which the solid kernel imports, too, reads a file `ezdxf.ini` as it is imported, and ends
    the program where that is not UTF-8. The maker's own settings, at home, are left to it.
    """
    if "ezdxf" in sys.modules or not os.path.lexists("ezdxf.ini"):
        return
    from contextlib import chdir
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as empty, chdir(empty):
        import ezdxf  # noqa: F401  # imported once, it reads no more
