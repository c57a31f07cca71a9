"""The console in 3D on the desk, with what can be asked of it; the picture where there is no 3D."""

from collections.abc import Callable, Sequence
from html import escape

import ipywidgets as widgets

from kit.errors import KitError
from kit.notebook.design_desk.bench import Work
from kit.notebook.live import LiveView
from kit.notebook.look import view
from kit.notebook.shown import Shown

#: Size of the view, px: what a notebook leaves on a screen 1280 px wide.
WIDTH_PX, HEIGHT_PX = 800, 440


class ScenePanel:
    """The 3D view. `picked` is told the name of each board that is picked in it."""

    def __init__(self, work: Work, picked: Callable[[str], None]) -> None:
        self._picked = picked
        self._under = widgets.HTML()
        gear = widgets.Checkbox(value=True, description="Devices", indent=False)
        doors = _share("Doors open", "From shut to open")
        apart = _share("Taken apart", "From put together to apart")
        self._still = widgets.HTML()
        self._live = view(work.casework, gear=True)
        if isinstance(self._live, LiveView):
            live = self._live
            live.on_pick(picked)
            live.resize(WIDTH_PX, HEIGHT_PX)
            live.slide_doors(0.0)
            live.explode(0.0)
            live.show_gear(True)
            live.highlight(())
            gear.observe(lambda change: live.show_gear(change["new"]), "value")
            doors.observe(lambda change: live.slide_doors(change["new"]), "value")
            apart.observe(lambda change: live.explode(change["new"]), "value")
            shown: list[widgets.Widget] = [
                live.open(),
                widgets.HBox([gear, doors, apart], layout=widgets.Layout(flex_flow="row wrap")),
            ]
        else:
            shown = [self._still]
            self._still.value = self._live.html
        self.widget = widgets.VBox([*shown, self._under])

    def show(self, work: Work) -> None:
        """Show a design where the view stands."""
        try:
            shown = view(work.casework, gear=True)
            if isinstance(shown, Shown):
                self._still.value = shown.html
            self._under.value = ""
        except KitError as error:
            self._under.value = f'<p role="alert"><b>✗</b> {escape(str(error))}</p>'

    def close(self) -> None:
        """Listen to the view no longer; it stays for the desk that comes after."""
        if isinstance(self._live, LiveView):
            self._live.off_pick(self._picked)
        self.widget.children = self.widget.children[1:]  # the view itself is not closed with us

    def highlight(self, names: Sequence[str]) -> None:
        """Let these boards stand out; of none, all are as usual."""
        if isinstance(self._live, LiveView):
            self._live.highlight(names)


def _share(label: str, about: str) -> widgets.FloatSlider:
    return widgets.FloatSlider(
        min=0.0,
        max=1.0,
        step=0.05,
        readout_format=".0%",
        description=label,
        tooltip=about,
        style={"description_width": "6.5em"},
        layout=widgets.Layout(width="20em"),
    )
