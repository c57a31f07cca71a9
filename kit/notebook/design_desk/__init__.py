"""The design desk: design by hand in a notebook, and see at once what it does.

bench (the design, its steps back and forth) -> controls (`groups`, `fields`)
                                             -> answers (`scene`, `panels`, `files`)
"""

from kit.notebook.design_desk.as_code import as_code
from kit.notebook.design_desk.bench import Bench, Work
from kit.notebook.design_desk.desk import Desk, desk, kept

__all__ = ["Bench", "Desk", "Work", "as_code", "desk", "kept"]
