"""Joinery: one file a feature; every feature is a frozen `kit.board.Feature`."""

from kit.joinery.chamfer import Chamfer
from kit.joinery.dado import Dado
from kit.joinery.fit import Fit
from kit.joinery.groove import Groove
from kit.joinery.hole import Hole, HoleRow, Purpose
from kit.joinery.mate import Housing, house
from kit.joinery.notch import Notch
from kit.joinery.pin import cross_pins
from kit.joinery.pocket_hole import PocketHoles, pocket_reach
from kit.joinery.rabbet import EdgeRabbet, EndRabbet
from kit.joinery.slot_field import SlotField
from kit.joinery.trench import Trench

__all__ = [
    "Chamfer",
    "Dado",
    "EdgeRabbet",
    "EndRabbet",
    "Fit",
    "Groove",
    "Hole",
    "HoleRow",
    "Housing",
    "Notch",
    "PocketHoles",
    "Purpose",
    "SlotField",
    "Trench",
    "cross_pins",
    "house",
    "pocket_reach",
]
