"""One 3D viewer in the browser, and the picture that stands in for it until it has drawn.

The viewer is a widget that draws scenes. What it cannot do through its own traits, such as
moving one board, is asked of the objects it is made of, by their names in the browser.
"""

from collections.abc import Callable, Iterable, Mapping
from time import monotonic
from typing import TYPE_CHECKING, Any

from ipywidgets import HTML, GridBox, Layout

from kit.geometry import Vec

if TYPE_CHECKING:
    from cad_viewer_widget import CadViewerWidget

#: What the maker sets in the view itself, and a new scene is to keep.
CAMERA = ("position", "quaternion", "target", "zoom")
SETTINGS = ("axes", "axes0", "grid", "ortho", "black_edges", "transparent")
#: The viewer's own, and how boards recede: like glass, with pale edges.
OPACITY, EDGE = 0.5, "#707070"
RECEDED_OPACITY, RECEDED_EDGE = 0.1, "#9a9a9a"
#: Over the viewer, whose own parts lie as high as 200; the rest of the height is its two bars.
STAND_IN = """<style>.kit-stand-in img {{ max-height: {image_px}px }}</style>
<div class="kit-stand-in" style="position: relative; z-index: 300; min-height: {high_px}px;
background: var(--jp-layout-color0, white); line-height: normal"><p>{words}</p>{image}</div>"""
#: The trait in which the browser answers; the viewer has no other use for it in a cell.
ANSWER = "image_id"
#: After so long without an answer the page was closed or loaded anew.
PATIENCE_S = 10.0
SHOWN, HIDDEN = (1, 1), (0, 0)

type State = tuple[int, int]


class Canvas:
    """A viewer of its own in the browser, which draws it in one place only.

    `widget` is the viewer, `box` the viewer under its stand-in. `on_drawn` is called when the
    browser says that it has drawn a scene; before the first, nothing can be asked of it.
    `on_pick` is called with the path in the tree of what was picked.
    """

    def __init__(
        self,
        width_px: int,
        height_px: int,
        *,
        tools: bool,
        on_drawn: Callable[[], None],
        on_pick: Callable[[str], None],
    ) -> None:
        from cad_viewer_widget import CadViewer

        self._viewer = CadViewer(height=height_px, glass=True, tools=tools)
        self.widget: CadViewerWidget = self._viewer.widget
        self.widget.cad_width = width_px  # the viewer can be narrower than its maker lets it
        self._on_drawn, self._on_pick = on_drawn, on_pick
        self._stand_in = HTML(layout=Layout(grid_area="1 / 1", width=f"{width_px + 8}px"))
        self.widget.layout.grid_area = "1 / 1"
        self.box = GridBox([self.widget, self._stand_in], layout=Layout(overflow="auto hidden"))
        self.is_drawn = False
        self._asked, self._asked_at_s = 0, -PATIENCE_S
        self.widget.observe(self._first_drawn, "states")
        self.widget.observe(self._answered, ANSWER)
        self.widget.observe(self._picked, "lastPick")

    @property
    def is_busy(self) -> bool:
        """Whether the browser is still at the last scene, and not gone."""
        waits = getattr(self.widget, ANSWER) != str(self._asked)
        return waits and monotonic() - self._asked_at_s < PATIENCE_S

    def stand_in(self, words: str, image: str) -> None:
        """Show words and an image over the viewer until it has drawn."""
        self._stand_in.value = STAND_IN.format(
            words=words, image=image, image_px=self.widget.height, high_px=self.widget.height + 60
        )

    def draw(self, scene: dict[str, Any], like: "CadViewerWidget | None", *, recede: bool) -> None:
        """Put a scene in, seen and set as in another viewer; `recede` draws all like glass."""
        kept = {name: getattr(like, name) for name in SETTINGS} if like else {}
        if like and like.position is not None:
            kept |= {name: getattr(like, name) for name in CAMERA}
        if recede:
            kept |= {"transparent": True}
        self._viewer.add_shapes(
            scene,
            up="Z",
            collapse="R",
            reset_camera="keep" if "position" in kept else "iso",
            default_opacity=RECEDED_OPACITY if recede else OPACITY,
            default_edgecolor=RECEDED_EDGE if recede else EDGE,
            states=self._hidden(scene, like),
            **kept,
        )

    def tell_when_drawn(self) -> None:
        """Ask the browser to say when it is through with all that it was sent so far."""
        self._asked, self._asked_at_s = self._asked + 1, monotonic()
        self._call("model.set", ANSWER, str(self._asked))
        self._call("model.save_changes")

    def recede(self, *, but: Iterable[str]) -> None:
        """Draw all but these paths like glass; all as it was where there are none."""
        paths = tuple(but)
        self._call("viewer.setOpacity", RECEDED_OPACITY if paths else OPACITY)
        self._call("viewer.setEdgeColor", RECEDED_EDGE if paths else EDGE)
        self._call("viewer.setTransparent", bool(paths))
        for path in paths:
            self._call(f"viewer.nestedGroup.groups.{path}.setTransparent", False)
            self._call(f"viewer.nestedGroup.groups.{path}.setEdgeColor", "#000000")
        self._call("viewer.update", True)

    def place(self, places: Mapping[str, Vec]) -> None:
        """Set each path down with its origin at a place, mm."""
        for path, at in places.items():
            self._call(f"viewer.nestedGroup.groups.{path}.position.set", *at)
        self._call("viewer.removeLastBbox")  # the mark of a pick would stay behind
        self._call("viewer.idPicker.setDirty")
        self._call("viewer.update", True)

    def show(self, paths: Iterable[str], *, shown: bool) -> None:
        """Show or hide these paths, as the maker does in the tree."""
        self._call("viewer.setStates", dict.fromkeys(paths, SHOWN if shown else HIDDEN))

    def forget_pick(self) -> None:
        """Take the viewer's own mark off what was picked, so that it can be picked again."""
        self.widget.set_trait("lastPick", None)
        self._call("viewer.removeLastBbox")
        self._call("viewer.checkChanges", {"lastPick": None}, False)

    def resize(self, width_px: int, height_px: int) -> None:
        """Make the view wider or lower."""
        self._stand_in.layout.width = f"{width_px + 8}px"
        self.widget.cad_width, self.widget.height = width_px, height_px

    def give_back(self) -> None:
        """Give back the drawing context and the numbers of the scene.

        To close the widgets themselves while the browser takes them away would break the next.
        """
        self.widget.unobserve_all()
        self.widget.disposed = True
        self.widget.shapes = None
        self._stand_in.value = ""

    def close(self) -> None:
        """Close the widgets of a canvas that was given back, and is not shown any more."""
        for widget in (self.widget, self._stand_in, self.box):
            widget.layout.close()
            widget.close()
        self._stand_in.style.close()

    def _hidden(
        self, scene: dict[str, Any], like: "CadViewerWidget | None"
    ) -> dict[str, State] | None:
        """What was hidden in the viewer, where this one does not know it by the paths of now."""
        if like is None or not like.states:
            return None
        ids = {part["name"]: part["id"] for part in scene["shapes"]["parts"]}
        before = {path.rpartition("/")[2]: (path, tuple(s)) for path, s in like.states.items()}
        known = like is self.widget and all(ids[n] == before[n][0] for n in ids.keys() & before)
        return None if known else {ids[n]: before[n][1] for n in ids.keys() & before}

    def _call(self, path: str, *arguments: object) -> None:
        """Call a method in the browser, named by its way from the viewer's own object."""
        self.widget.send(
            {"type": "cad_viewer_method", "method": path.split("."), "args": arguments}
        )

    def _first_drawn(self, change: Mapping[str, Any]) -> None:
        if change["new"] and not self.is_drawn:
            self.is_drawn = True
            self._stand_in.value = ""
            self._stand_in.layout.display = "none"
            self._on_drawn()

    def _answered(self, change: Mapping[str, Any]) -> None:
        if change["new"] == str(self._asked):
            self._on_drawn()

    def _picked(self, change: Mapping[str, Any]) -> None:
        if picked := change["new"]:
            self._on_pick(f"{picked['path']}/{picked['name']}")
