"""Does a remote control reach its device, and does radio get out?"""

from kit.checks.sight.signals import View, check_sight, views

__all__ = ["View", "check_sight", "views"]
