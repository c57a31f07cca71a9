"""The solid kernel: boards -> solids -> assembly -> STEP, GLB, meshes, lines. All mm.

The only package that imports cadquery and OCP, which take seconds to load.
"""

from kit.solid.assembly import assembly, tint
from kit.solid.body import location, placed, solid
from kit.solid.bores import Bore
from kit.solid.clash import Clash, interference
from kit.solid.device import device
from kit.solid.files import StepSolid, read_step, write_glb, write_step
from kit.solid.measures import Flat, Measures, Opening, measure
from kit.solid.picture import Line, Mesh, meshes, picture_axes, visible_lines

__all__ = [
    "Bore",
    "Clash",
    "Flat",
    "Line",
    "Measures",
    "Mesh",
    "Opening",
    "StepSolid",
    "assembly",
    "device",
    "interference",
    "location",
    "measure",
    "meshes",
    "picture_axes",
    "placed",
    "read_step",
    "solid",
    "tint",
    "visible_lines",
    "write_glb",
    "write_step",
]
