"""Casework Kit: design plywood casework, check it, and take it to the saw.

    casework = kit.build(kit.read("console.toml"))
    report = kit.check(casework)
    rows = kit.cut_list(casework)

Solids are in `kit.solid` and pictures in `kit.draw`, which load the solid kernel.
"""

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
