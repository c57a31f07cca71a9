"""The picture of a console that needs no kernel and no 3D."""

from base64 import b64encode
from html import escape

from kit.casework import Casework
from kit.notebook.shown import Shown


def picture(casework: Casework) -> Shown:
    """The picture of a console that stays when the notebook is saved, shared or printed.

    An SVG inside an image: a notebook that is not trusted yet shows no bare SVG.

    Raises SolidError where a board cannot be built.
    """
    from kit.draw.pictorial import pictorial_svg  # loads the solid kernel, which takes seconds

    data = b64encode(pictorial_svg(casework).encode()).decode()
    words = f"Picture of {casework.design.name}"
    return Shown(
        f'<img alt="{escape(words)}" style="max-width: 100%; background: white" '
        f'src="data:image/svg+xml;base64,{data}">',
        words,
    )
