"""The console to look at: one live 3D view a notebook, and a picture that lasts.

The live view needs a running notebook; the picture is saved with it. Neither needs a network.
"""

from base64 import b64encode
from html import escape
from typing import TYPE_CHECKING, Any

from kit.casework import Casework
from kit.notebook.shown import Shown

if TYPE_CHECKING:
    from cad_viewer_widget import CadViewer, CadViewerWidget

#: Size of the live view, pixels: the least its toolbar needs, and low as consoles are.
WIDTH_PX, HEIGHT_PX = 800, 420
#: What the live view is made with; where one is missing, the picture takes its place.
PACKAGES = ("cad_viewer_widget", "ocp_tessellate")


class LiveView:
    """A 3D view in a notebook: turn it with the mouse, hide boards by name in its tree.

    Shown as the last thing of a cell. It lives in one place: shown again, in the same cell or
    in another, it moves there with its camera, for a browser draws only a few 3D views at once.
    """

    def __init__(self, scene: dict[str, Any], name: str) -> None:
        self._scene, self._name = scene, name
        self._viewer: CadViewer | None = None

    @property
    def widget(self) -> "CadViewerWidget":
        """The widget itself, for a layout of widgets."""
        return (self._viewer or self._open()).widget

    def update(self, scene: dict[str, Any], name: str) -> None:
        """Show another scene where the view stands, from where the maker looks at it."""
        self._scene, self._name = scene, name
        if self._viewer is not None:
            _draw(self._viewer, scene, self._viewer.widget)

    def _open(self) -> "CadViewer":
        """A fresh viewer in place of the last: the browser draws a viewer only once."""
        from cad_viewer_widget import CadViewer

        last = self._viewer
        self._viewer = CadViewer(cad_width=WIDTH_PX, height=HEIGHT_PX, glass=True)
        _draw(self._viewer, self._scene, last.widget if last else None)
        if last:
            # gives back its drawing context and its numbers; to close the widget itself while
            # the browser takes its view away would break the next one
            last.close()
            last.widget.shapes = None
        return self._viewer

    def _repr_mimebundle_(self, **_: object) -> dict[str, Any]:
        """The live view, and for where there is none a line that says so."""
        bundle = self._open().widget._repr_mimebundle_()
        return {**bundle, "text/plain": f"{self._name}: run this cell for the live 3D view."}


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

        from kit.solid.scene import scene
    except ModuleNotFoundError as error:
        package = (error.name or "").partition(".")[0]
        if package not in PACKAGES:
            raise
        why = f"No live 3D view: {package} is not installed here. The picture instead:"
        return Shown(f"<p>{why}</p>{picture(casework).html}", why)
    made, name = scene(casework, gear=gear), casework.design.name
    if _live is None:
        _live = LiveView(made, name)
    else:
        _live.update(made, name)
    return _live


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


def _draw(viewer: "CadViewer", scene: dict[str, Any], camera: "CadViewerWidget | None") -> None:
    """Put a scene into a viewer, seen by the camera of a viewer that was looked at."""
    kept = {}
    if camera is not None and camera.position is not None:
        kept = {
            "position": camera.position,
            "quaternion": camera.quaternion,
            "target": camera.target,
            "zoom": camera.zoom,
        }
    camera_mode = "keep" if kept else "iso"
    viewer.add_shapes(scene, up="Z", collapse="R", reset_camera=camera_mode, **kept)
