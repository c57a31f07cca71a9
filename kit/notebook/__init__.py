"""Views and tables for notebooks: the only package that imports IPython and widgets."""

from kit.notebook.live import LiveView
from kit.notebook.look import view
from kit.notebook.shown import Shown
from kit.notebook.still import picture
from kit.notebook.tables import cut_list_text, cut_table, findings, findings_text

__all__ = [
    "LiveView",
    "Shown",
    "cut_list_text",
    "cut_table",
    "findings",
    "findings_text",
    "picture",
    "view",
]
