"""One DXF a board, for a CNC router or to print as a template."""

from kit.draw.dxf.files import board_dxf, dxf_files, shop_cutter_mm

__all__ = ["board_dxf", "dxf_files", "shop_cutter_mm"]
