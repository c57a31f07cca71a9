"""Drawings: views, dimensions and pictures as SVG and DXF; no solid kernel here."""
