"""The live 3D view of a console: what the maker wants to see of it, kept from scene to scene."""

from collections.abc import Callable, Collection, Iterator
from typing import TYPE_CHECKING, Any

from kit.casework import Casework
from kit.draw.moves import apart, slid_open
from kit.geometry import Vec
from kit.notebook.still import picture

if TYPE_CHECKING:
    from cad_viewer_widget import CadViewerWidget
    from ipywidgets import GridBox

    from kit.notebook.canvas import Canvas

#: Size of the live view, pixels: the least its toolbar needs, and low as consoles are.
WIDTH_PX, HEIGHT_PX = 800, 420
#: Over the view until it has drawn, and for good where the browser cannot.
STAND_IN = "A picture, until the 3D view is drawn; it stays where the browser has no 3D (WebGL)."


class LiveView:
    """A 3D view in a notebook: turn it with the mouse, hide boards by name in its tree.

    Shown as the last thing of a cell. It lives in one place: shown again, in the same cell or
    in another, it moves there with its camera, for a browser draws only a few 3D views at once.

    Boards, devices and rows of media go by their names in the tree. What is asked of a view
    holds for all scenes to come; names that a scene does not have are passed over. Without
    `tools` it has neither buttons nor tree, and may be as narrow as 300 px; with them the least
    is 600, and 800 keeps the tree beside the console.

    Raises SolidError, as `update` does, where a board cannot be built.
    """

    def __init__(
        self,
        casework: Casework,
        *,
        gear: bool = False,
        width_px: int = WIDTH_PX,
        height_px: int = HEIGHT_PX,
        tools: bool = True,
    ) -> None:
        self._width_px, self._height_px, self._tools = width_px, height_px, tools
        self._canvas: Canvas | None = None
        self._left: Canvas | None = None
        self._callbacks: list[Callable[[str], object]] = []
        self._highlit: frozenset[str] = frozenset()
        self._doors_open = self._apart = 0.0
        self._gear_shown = True
        self._behind = False
        self._take(casework, gear)
        self._places = self._home

    @property
    def widget(self) -> "CadViewerWidget":
        """The viewer itself, as it stands."""
        return (self._canvas or self._open()).widget

    def open(self) -> "GridBox":
        """The view as a widget for a new place in a layout; from the old place it is gone."""
        return self._open().box

    def update(self, casework: Casework, *, gear: bool | None = None) -> None:
        """Show another console where the view stands, from where the maker looks at it.

        `gear` puts the devices into the scene or takes them out; left out, it stays as it is.
        """
        before = self._scene
        self._take(casework, self._gear if gear is None else gear)
        if self._canvas is None or self._scene == before:
            return
        if self._canvas.is_busy:
            self._behind = True
        else:
            self._draw(self._canvas, self._canvas.widget)

    def on_pick(self, callback: Callable[[str], object]) -> None:
        """Call with the name of each thing that is picked: by a double click, or in the tree."""
        self._callbacks.append(callback)

    def highlight(self, names: Collection[str]) -> None:
        """Let these stand out: all others are drawn like glass. Of none, all are as usual."""
        self._highlit = frozenset(names)
        if canvas := self._drawn:
            canvas.recede(but=self._standing_out())

    def slide_doors(self, share: float) -> None:
        """Slide the doors from closed, 0, to open as wide as they go, 1."""
        self._doors_open = share
        self._place()

    def explode(self, share: float) -> None:
        """Take the assembly apart, from put together, 0, to as far as in the plans, 1."""
        self._apart = share
        self._place()

    def show_gear(self, shown: bool) -> None:
        """Show or hide the devices and media that are in the scene."""
        self._gear_shown = shown
        if canvas := self._drawn:
            canvas.show(self._gear_paths(), shown=shown)

    def resize(self, width_px: int, height_px: int) -> None:
        """Make the view as wide and high as this, pixels."""
        self._width_px, self._height_px = width_px, height_px
        if self._canvas:
            self._canvas.resize(width_px, height_px)

    @property
    def _drawn(self) -> "Canvas | None":
        """The canvas, where it shows the scene of now or is about to."""
        ready = self._canvas and self._canvas.is_drawn and not self._behind
        return self._canvas if ready else None

    def _take(self, casework: Casework, gear: bool) -> None:
        from kit.solid.scene import scene

        self._scene: dict[str, Any] = scene(casework, gear=gear)
        self._casework, self._gear = casework, gear
        parts = self._scene["shapes"]["parts"]
        self._paths: dict[str, str] = {part["name"]: part["id"] for part in parts}
        self._home: dict[str, Vec] = {part["id"]: tuple(part["loc"][0]) for part in parts}

    def _open(self) -> "Canvas":
        """A fresh canvas in place of the last: the browser draws a viewer only once."""
        from kit.notebook.canvas import Canvas

        last = self._canvas
        self._canvas = Canvas(
            self._width_px,
            self._height_px,
            tools=self._tools,
            on_drawn=self._go_on,
            on_pick=self._picked,
        )
        self._draw(self._canvas, last.widget if last else None)
        if last:
            last.give_back()
        if self._left:
            self._left.close()
        self._left = last
        return self._canvas

    def _draw(self, canvas: "Canvas", like: "CadViewerWidget | None") -> None:
        canvas.draw(self._scene, like, recede=bool(self._standing_out()))
        self._places, self._behind = self._home, False
        if canvas.is_drawn:
            self._restore()
            canvas.tell_when_drawn()
        else:
            canvas.stand_in(STAND_IN, picture(self._casework).html)

    def _go_on(self) -> None:
        """The browser has drawn; what was asked for meanwhile is next, and only the last of it."""
        if self._canvas and self._behind:
            self._draw(self._canvas, self._canvas.widget)
        else:
            self._restore()

    def _restore(self) -> None:
        """Ask of a scene that was just drawn what it does not hold itself."""
        if not (canvas := self._drawn):
            return
        if but := self._standing_out():
            canvas.recede(but=but)
        if not self._gear_shown:
            canvas.show(self._gear_paths(), shown=False)
        self._place()

    def _place(self) -> None:
        """Put all in the places of now; only what moves is sent."""
        if canvas := self._drawn:
            places = self._home if self._doors_open == self._apart == 0 else dict(self._moved())
            moved = {path: at for path, at in places.items() if at != self._places[path]}
            if moved:
                canvas.place(moved)
            self._places = places

    def _moved(self) -> Iterator[tuple[str, Vec]]:
        casework = self._casework
        slid = slid_open(casework)
        boxes = [board.box for board in casework.boards]
        boxes += [device.body for device in casework.gear] + [row.box for row in casework.media]
        # a scene without gear is the shorter one
        for (name, path), box in zip(self._paths.items(), boxes, strict=False):
            way = apart(casework, box)
            x, y, z = (h + self._apart * w for h, w in zip(self._home[path], way, strict=True))
            yield path, (x + self._doors_open * slid.get(name, 0.0), y, z)

    def _standing_out(self) -> list[str]:
        return [path for name, path in self._paths.items() if name in self._highlit]

    def _gear_paths(self) -> list[str]:
        return [path for name, path in self._paths.items() if name not in self._casework.by_name]

    def _picked(self, path: str) -> None:
        if self._canvas and self._callbacks:
            self._canvas.forget_pick()
        for name in (name for name, known in self._paths.items() if known == path):
            for callback in self._callbacks:
                callback(name)

    def _repr_mimebundle_(self, **_: object) -> dict[str, Any]:
        """The live view, and for where there is none a line that says so."""
        name = self._casework.design.name
        bundle: dict[str, Any] = self.open()._repr_mimebundle_()
        return {**bundle, "text/plain": f"{name}: run this cell for the live 3D view."}
