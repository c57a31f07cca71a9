"""Every error the kit raises on purpose.

    KitError
    |- UnitError         a length or other quantity cannot be read as written
    |- TableError        a row is not in a data table, or a table is malformed
    |- DesignFileError   the design file cannot be read, or a field in it is wrong
    |- BuildError        the numbers can be read, but no piece can be built from them
    |- SolidError        the solid kernel failed on one board
    |- OutputError       a file or folder cannot be written
    |- CancelledError    long work was stopped because its caller asked for that

Each message names the part and the argument, shows the value with its unit, and
ends with what to do. What can be built but should not be is never an error: it is
a finding (see `kit.finding`).
"""


class KitError(Exception):
    """Base of all errors that the kit raises on purpose; its text is one or two sentences."""


class UnitError(KitError, ValueError):
    """A length or other quantity cannot be read as it is written."""


class TableError(KitError, LookupError):
    """A row is not in a data table, or a table is malformed."""


class DesignFileError(KitError, ValueError):
    """The design file cannot be read, or a field in it is wrong."""


class BuildError(KitError, ValueError):
    """No piece can be built from these numbers."""


class SolidError(KitError, RuntimeError):
    """The solid kernel failed; the message names the board."""


class OutputError(KitError, OSError):
    """A file or folder cannot be written."""


class CancelledError(KitError):
    """Long work was stopped because its caller asked for that; nothing was changed."""
