"""Casework Kit: design plywood casework, check it, and take it to the saw.

    casework = kit.build(kit.read("console.toml"))
    report = kit.check(casework)
    rows = kit.cut_list(casework)

Each name is loaded as it is first asked for (PEP 562), so that `import kit` costs next to nothing.
Solids are in `kit.solid` and pictures in `kit.draw`, which load the solid kernel.
"""

from importlib import import_module
from typing import TYPE_CHECKING

from kit.foreign_settings import keep_out

if TYPE_CHECKING:
    from kit.casework import Casework, build
    from kit.checks import check
    from kit.design import Design
    from kit.design_file import example_text, parse, read
    from kit.errors import KitError
    from kit.finding import Finding, Report, Status
    from kit.making.cut_list import cut_list
    from kit.units import System

__all__ = [
    "Casework",
    "Design",
    "Finding",
    "KitError",
    "Report",
    "Status",
    "System",
    "build",
    "check",
    "cut_list",
    "example_text",
    "parse",
    "read",
]

keep_out()

#: Where each name is defined, as type checkers read it above.
_HOME = {
    "Casework": "casework",
    "Design": "design",
    "Finding": "finding",
    "KitError": "errors",
    "Report": "finding",
    "Status": "finding",
    "System": "units",
    "build": "casework",
    "check": "checks",
    "cut_list": "making.cut_list",
    "example_text": "design_file",
    "parse": "design_file",
    "read": "design_file",
}


def __getattr__(name: str) -> object:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
    globals()[name] = value  # the next time it is simply there
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
