"""Load, save, write as code, and write the plan pack: the panel of files."""

import threading
from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

import ipywidgets as widgets

from kit.errors import CancelledError, KitError
from kit.notebook.design_desk.as_code import as_code
from kit.notebook.design_desk.bench import Bench, Work, refused
from kit.notebook.design_desk.fields import LABEL_WIDTH, line, tell
from kit.notebook.design_desk.places import Places

if TYPE_CHECKING:
    from kit.plan_pack import Pack, Progress


class FilesPanel:
    """The design file, the design as code, and the plan pack."""

    title, slow = "Files", False

    def __init__(self, bench: Bench, places: Places) -> None:
        self._bench, self._places = bench, places
        self._replace: Path | None = None
        self._name = _typed("Design file", places.said(bench.path or Path("console.toml")))
        self._state = widgets.HTML()
        self._under = line()
        self._code = widgets.Textarea(
            description="Code to paste",
            rows=12,
            style={"description_width": LABEL_WIDTH},
            layout=widgets.Layout(width="100%", display="none"),
        )
        self.pack = PackWriter(bench, places)
        buttons = [
            _button("Save", "Write the design to its file", self._save),
            _button("Save as", "Write the design to the file named here", self._save_as),
            _button("Load", "Go on with the design of the file named here", self._load),
            _button("Write as code", "The design as a plain cell of code", self._write_code),
        ]
        self.widget = widgets.VBox(
            [
                self._name,
                widgets.HBox(buttons, layout=widgets.Layout(flex_flow="row wrap")),
                self._state,
                self._under,
                self._code,
                self.pack.widget,
            ],
            layout=widgets.Layout(width="100%"),
        )

    def show(self, work: Work) -> None:
        """Say whether the file holds the design as it stands; what was asked is asked anew."""
        self._replace = None
        path = self._bench.path
        where = escape(self._places.said(path)) if path else "no file yet"
        told = "saved" if self._bench.saved else "not saved"
        self._state.value = f"<p>{where}: {told}</p>"
        if self._code.layout.display is None:
            self._code.value = as_code(work.text)

    def _save(self, button: widgets.Button) -> None:
        path = self._bench.path
        self._keep(lambda: self._places.reached(path) if path else self._typed)

    def _save_as(self, button: widgets.Button) -> None:
        self._keep(lambda: self._typed)

    def _load(self, button: widgets.Button) -> None:
        self._replace = None
        tell(self._under, refused(lambda: self._bench.load(self._typed)))

    def _write_code(self, button: widgets.Button) -> None:
        hidden = self._code.layout.display is not None
        self._code.layout.display = None if hidden else "none"
        if hidden:
            self._code.value = as_code(self._bench.work.text)

    @property
    def _typed(self) -> Path:
        return self._places.design_file(self._name.value)

    def _keep(self, where: Callable[[], Path]) -> None:
        """Save; what would be lost in that place is lost at the second time of asking."""
        sure, self._replace = self._replace, None
        try:
            path = where()
            self._replace = None if sure == path else path
            self._bench.save(path, replace=sure == path)
        except KitError as error:
            tell(self._under, str(error))
            return
        self._replace = None
        self._name.value = self._places.said(path)
        tell(self._under, "")


class PackWriter:
    """Writes the plan pack beside the desk, which stays usable; it can be stopped."""

    def __init__(self, bench: Bench, places: Places) -> None:
        self._bench, self._places = bench, places
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None
        self._folder = _typed("Folder", "console-pack")
        self._write = _button("Write the plan pack", "All files for the shop", self._started)
        self._halt = _button("Stop", "Leave the folder as it was", lambda _: self.stop())
        self._halt.disabled = True
        self._bar = widgets.IntProgress(layout=widgets.Layout(width="12em", display="none"))
        self._told = widgets.HTML()
        self.widget = widgets.VBox(
            [
                widgets.HTML("<h4>Plan pack</h4>"),
                self._folder,
                widgets.HBox([self._write, self._halt, self._bar]),
                self._told,
            ]
        )

    def stop(self) -> None:
        """Stop the pack that is being written."""
        self._stop.set()

    def wait(self) -> None:
        """Wait until the pack that is being written is done or stopped."""
        if self._thread is not None:
            self._thread.join()

    def _started(self, button: widgets.Button) -> None:
        try:
            folder = self._places.pack_folder(self._folder.value)
        except KitError as error:
            self._say(f"<b>✗ Not written:</b> {escape(str(error))}")
            return
        self._stop.clear()
        self._write.disabled, self._halt.disabled = True, False
        self._bar.value, self._bar.layout.display = 0, None
        self._thread = threading.Thread(
            target=self._run, args=(self._bench.work, folder), daemon=True
        )
        self._thread.start()

    def _run(self, work: Work, folder: Path) -> None:
        from kit.plan_pack import write_pack  # typst, the solvers and the kernel are heavy

        told = "<b>✗ Not written:</b> see the log of this notebook."
        try:
            pack = write_pack(
                work.casework,
                work.text,
                folder,
                progress=self._step,
                cancelled=self._stop.is_set,
            )
            told = _done(pack)
        except CancelledError:
            told = "<b>Stopped</b>; the folder is as it was."
        except KitError as error:
            told = f"<b>✗ Not written:</b> {escape(str(error))}"
        finally:
            self._write.disabled, self._halt.disabled = False, True
            self._bar.layout.display = "none"
            self._say(told)

    def _step(self, progress: "Progress") -> None:
        self._bar.max, self._bar.value = progress.of, progress.done
        self._say(f"{escape(str(progress))} …")

    def _say(self, html: str) -> None:
        self._told.value = f'<p role="status">{html}</p>'


def _done(pack: "Pack") -> str:
    from kit.plan_pack import Draft

    standing = pack.standing
    draft = ""
    if isinstance(standing, Draft):
        draft = f" <b>DRAFT:</b> {escape('; '.join(standing.reasons))}"
    return f"<b>✓ Wrote</b> {len(pack.files)} files to {escape(str(pack.folder))}.{draft}"


def _typed(label: str, value: str) -> widgets.Text:
    return widgets.Text(
        description=label,
        value=value,
        style={"description_width": LABEL_WIDTH},
        layout=widgets.Layout(width="30em", max_width="100%"),
    )


def _button(label: str, about: str, pressed: Callable[[widgets.Button], object]) -> widgets.Button:
    button = widgets.Button(description=label, tooltip=about, layout=widgets.Layout(width="auto"))
    button.on_click(pressed)
    return button
