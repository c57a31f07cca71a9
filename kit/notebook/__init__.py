"""Views and tables for notebooks: the only package that imports IPython and widgets."""

from kit.notebook.design_desk import Desk, desk
from kit.notebook.drawings import (
    air_picture,
    board_drawing,
    board_picture,
    cable_picture,
    depth_picture,
    drawing,
    evening_picture,
    page,
    sag_picture,
    sheet_pictures,
    tip_picture,
    trade_off_picture,
    vent_picture,
)
from kit.notebook.live import LiveView
from kit.notebook.look import view
from kit.notebook.rows import (
    as_built_table,
    buy_table,
    cable_table,
    cut_order_table,
    hole_table,
    row_table,
    set_up_table,
)
from kit.notebook.searched import proposed, search_table, what_if_view
from kit.notebook.shown import Shown
from kit.notebook.still import picture
from kit.notebook.tables import cut_list_text, cut_table, findings, findings_text

__all__ = [
    "Desk",
    "LiveView",
    "Shown",
    "air_picture",
    "as_built_table",
    "board_drawing",
    "board_picture",
    "buy_table",
    "cable_picture",
    "cable_table",
    "cut_list_text",
    "cut_order_table",
    "cut_table",
    "depth_picture",
    "desk",
    "drawing",
    "evening_picture",
    "findings",
    "findings_text",
    "hole_table",
    "page",
    "picture",
    "proposed",
    "row_table",
    "sag_picture",
    "search_table",
    "set_up_table",
    "sheet_pictures",
    "tip_picture",
    "trade_off_picture",
    "vent_picture",
    "view",
    "what_if_view",
]
