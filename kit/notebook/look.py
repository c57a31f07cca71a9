"""The console to look at: one live 3D view a notebook, and the picture where there is none."""

from kit.casework import Casework
from kit.notebook.live import LiveView
from kit.notebook.shown import Shown
from kit.notebook.still import picture

#: What the live view is made with; where one is missing, the picture takes its place.
PACKAGES = ("cad_viewer_widget", "ocp_tessellate")

_live: LiveView | None = None


def view(casework: Casework, *, gear: bool = False) -> LiveView | Shown:
    """The live 3D view of a console, every board in its tree by name; `gear` adds the devices.

    A notebook has one such view: a second call updates it in place, camera kept, and returns
    it again. Where the packages of the view are missing, it is the picture with a line on why.

    Raises SolidError where a board cannot be built.
    """
    global _live  # a kernel serves one notebook
    try:
        import cad_viewer_widget  # noqa: F401

        import kit.solid.scene  # noqa: F401
    except ModuleNotFoundError as error:
        package = (error.name or "").partition(".")[0]
        if package not in PACKAGES:
            raise
        why = f"No live 3D view: {package} is not installed here. The picture instead:"
        return Shown(f"<p>{why}</p>{picture(casework).html}", why)
    if _live is None:
        _live = LiveView(casework, gear=gear)
    else:
        _live.update(casework, gear=gear)
    return _live
