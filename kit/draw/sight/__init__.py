"""What the viewers see, to scale: the ways of the remote control from above, the picture before
their eyes from the side. Legible without colour.
"""

from kit.draw.sight.plan import sight_plan_svg
from kit.draw.sight.side import sight_side_svg

__all__ = ["sight_plan_svg", "sight_side_svg"]
