"""Controls for single values of a design: each has a label, a path in the file, and a line below.

The line tells in a sentence why a value was refused; the design, and the control, then keep the
one they had. A control whose path leads nowhere in this design is not shown.
"""

import math
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from enum import Enum
from html import escape
from typing import Any

import ipywidgets as widgets
from pydantic.fields import FieldInfo

from kit.components.spec import Spec, field_docs
from kit.design_file import rewrite
from kit.geometry import SAME_MM
from kit.notebook.design_desk.bench import Bench, Edit, Value, Work, refused
from kit.units import MM_PER_INCH, Step, System, exact, residue, text

LABEL_WIDTH = "9.5em"
#: What one step of a slider is in each system, mm.
SLIDE = {System.INCH: MM_PER_INCH / 4, System.METRIC: 5.0}
#: What a reader of the screen is told of a value that is left out.
LEFT_OUT = "as usual"
#: What a choice holds where the file holds nothing.
NOTHING = ""


class Missing(Enum):
    """What `look_up` finds where a path leads nowhere."""

    MISSING = "missing"


MISSING = Missing.MISSING


def look_up(spec: Spec, path: str) -> tuple[Any, str]:
    """What a design holds at a path of its file, and what that field is; MISSING where none is."""
    here: Any = spec
    about = ""
    for step in path.split("."):
        if isinstance(here, Spec):
            fields = {field.alias or name: name for name, field in _fields(here)}
            if step not in fields:
                return MISSING, ""
            name = fields[step]
            about = field_docs(here.__class__).get(name, "")
            here = getattr(here, name)
        elif isinstance(here, tuple) and step.isdigit() and 0 < int(step) <= len(here):
            here = here[int(step) - 1]
        elif isinstance(here, Mapping):
            here = here.get(step)
        else:
            return MISSING, ""
    return here, about


@dataclass(frozen=True, slots=True)
class Source:
    """Where the value of a control comes from, and the edit that puts another in its place.

    `read` gives the value and what it is, MISSING where this design has none.
    """

    read: Callable[[Work], tuple[Any, str]]
    write: Callable[[Value], Edit]


def at(path: str | Callable[[], str | None]) -> Source:
    """The value at a path of the design file; at what the callable says, where that changes."""

    def where() -> str | None:
        return path if isinstance(path, str) else path()

    def read(work: Work) -> tuple[Any, str]:
        here = where()
        return look_up(work.design, here) if here else (MISSING, "")

    def write(value: Value) -> Edit:
        here = where()
        assert here is not None, "a control that is not shown writes nothing"

        def edit(text: str) -> str:
            left_out = value is None and not written(text, here)
            return text if left_out else rewrite(text, {here: value})

        return edit

    return Source(read, write)


def written(text: str, path: str) -> bool:
    """Whether a design file itself has a value at a path; what is left out has a usual one."""
    here: Any = tomllib.loads(text)
    for step in path.split("."):
        if isinstance(here, list):
            here = here[int(step) - 1]
        elif step in here:
            here = here[step]
        else:
            return False
    return True


def line(words: str = "") -> widgets.HTML:
    """A line for what was refused; screen readers speak it when it comes."""
    made = widgets.HTML(layout=widgets.Layout(margin="0", width="100%"))
    tell(made, words)
    return made


def tell(under: widgets.HTML, words: str) -> None:
    """Put a sentence into such a line, or take it away."""
    told = "<br>".join(escape(part) for part in words.splitlines())
    value = f'<span role="alert"><b>✗ Not taken:</b> {told}</span>' if words else ""
    if under.value != value:
        under.value = value
    under.layout.display = None if words else "none"


class Field:
    """A control for one value. `widget` is what is put on the desk."""

    def __init__(
        self, bench: Bench, source: Source, control: widgets.ValueWidget, *more: widgets.Widget
    ) -> None:
        self._bench, self._source = bench, source
        self._control = control
        self._showing = False
        self._under = line()
        row = widgets.HBox([control, *more]) if more else control
        self.widget = widgets.VBox([row, self._under], layout=widgets.Layout(width="100%"))
        control.observe(self._changed, "value")

    def show(self, work: Work) -> None:
        """Show what the design holds."""
        value, about = self._source.read(work)
        self.widget.layout.display = "none" if value is MISSING else None
        if value is MISSING:
            return
        tell(self._under, "")
        self._control.tooltip = about
        with self._shown():
            self._put(value, work)

    def _put(self, value: Any, work: Work) -> None:
        """Put a value into the control."""
        self._control.value = value

    def _taken(self, value: Any) -> Value:
        """What to write into the file for what the control holds."""
        return value  # type: ignore[no-any-return]

    def _changed(self, change: Mapping[str, Any]) -> None:
        if not self._showing:
            self._write(self._taken(change["new"]))

    def _write(self, value: Value, *, held: bool = False) -> None:
        reason = refused(lambda: self._bench.change(self._source.write(value), held=held))
        self.show(self._bench.work)  # also where nothing has changed: a default that was cleared
        tell(self._under, reason)

    @contextmanager
    def _shown(self) -> Iterator[None]:
        """Meanwhile a control that is set is not taken for a wish of the maker."""
        self._showing = True
        try:
            yield
        finally:
            self._showing = False


class LengthField(Field):
    """A length as a maker types it: "2 3/4 in", "18 mm"; with a slider between two limits, mm."""

    def __init__(
        self, bench: Bench, source: Source, label: str, *, slide: tuple[float, float] | None = None
    ) -> None:
        control = _text_box(label, "18em")
        self._slider: widgets.FloatSlider | None = None
        self._limits = slide or (0.0, 0.0)
        if slide:
            self._slider = widgets.FloatSlider(
                min=slide[0],
                max=slide[1],
                readout=False,
                tooltip=f"{label}: drag, or use the arrow keys",
                layout=widgets.Layout(flex="1 1 6em", min_width="6em", width="auto"),
            )
            self._slider.observe(self._slid, "value")
        super().__init__(bench, source, control, *([self._slider] if self._slider else []))

    def _put(self, value: Any, work: Work) -> None:
        system = work.design.shop.units
        self._control.value = "" if value is None else _typed(value, system)
        if self._slider and value is not None:
            step = SLIDE[system]
            # whole steps from nought, so that the slider stops at sizes a maker would choose
            least = math.floor(min(self._limits[0], value) / step) * step
            most = math.ceil(max(self._limits[1], value) / step) * step
            # in one message: between two of them a browser would move the slider into the old
            # range, and tell that as a wish of the maker
            with self._slider.hold_sync(), self._slider.hold_trait_notifications():
                self._slider.min, self._slider.max, self._slider.step = least, most, step
                self._slider.value = value

    def _taken(self, value: Any) -> Value:
        return value.strip() or None

    def _slid(self, change: Mapping[str, Any]) -> None:
        if self._showing:
            return
        system = self._bench.work.design.shop.units
        here, _ = self._source.read(self._bench.work)
        # a browser moves the slider to its nearest step by itself, as soon as it is shown
        if abs(change["new"] - here) > SLIDE[system] / 2 + SAME_MM:
            self._write(text(change["new"], system, step=Step.OVERALL), held=True)


class ChoiceField(Field):
    """One of several: `options` are words for the maker and what the file holds."""

    def __init__(
        self, bench: Bench, source: Source, label: str, options: Sequence[tuple[str, Value]]
    ) -> None:
        self._options = tuple(options)
        control = widgets.Dropdown(
            description=label,
            style={"description_width": LABEL_WIDTH},
            layout=widgets.Layout(width="28em", max_width="100%"),
        )
        super().__init__(bench, source, control)

    @classmethod
    def of(cls, bench: Bench, source: Source, label: str, kind: type[Enum]) -> "ChoiceField":
        """All members of an enumeration, by their words in the file."""
        return cls(bench, source, label, [(member.value, member.value) for member in kind])

    def _put(self, value: Any, work: Work) -> None:
        value = value.value if isinstance(value, Enum) else value
        options = self._options
        if value not in [held for _, held in options]:
            options = (*options, (str(value), value))  # what the file says is shown, known or not
        # a control has no word for None: it shows nothing then
        shown = tuple((words, NOTHING if held is None else held) for words, held in options)
        if self._control.options != shown:
            self._control.options = shown
        self._control.value = NOTHING if value is None else value

    def _taken(self, value: Any) -> Value:
        return None if value == NOTHING else value


class SwitchField(Field):
    """Yes or no."""

    def __init__(self, bench: Bench, source: Source, label: str) -> None:
        control = widgets.Checkbox(
            description=label, indent=True, style={"description_width": LABEL_WIDTH}
        )
        super().__init__(bench, source, control)


class NumberField(Field):
    """A number that is not a length, typed; its unit stands in the label."""

    def __init__(self, bench: Bench, source: Source, label: str) -> None:
        super().__init__(bench, source, _text_box(label, "18em"))

    def _put(self, value: Any, work: Work) -> None:
        self._control.value = "" if value is None else f"{value:g}"

    def _taken(self, value: Any) -> Value:
        typed = value.strip()
        for kind in (int, float):
            try:
                return kind(typed)
            except ValueError:
                continue
        return typed or None  # the design file says what it wants instead


class ListField(Field):
    """Several values, typed with commas between them; `read` makes each fit for the file."""

    def __init__(
        self,
        bench: Bench,
        source: Source,
        label: str,
        read: Callable[[str], str | int] = str,
    ) -> None:
        self._read = read
        super().__init__(bench, source, _text_box(label, "28em"))

    def _put(self, value: Any, work: Work) -> None:
        system = work.design.shop.units
        words = (_typed(v, system) if isinstance(v, float) else str(v) for v in value or ())
        self._control.value = ", ".join(words)

    def _taken(self, value: Any) -> Value:
        words = [word.strip() for word in value.split(",") if word.strip()]
        try:
            return [self._read(word) for word in words] or None
        except ValueError:
            return words  # the design file says what it wants instead


class NameField(Field):
    """A name as printed."""

    def __init__(self, bench: Bench, source: Source, label: str) -> None:
        super().__init__(bench, source, _text_box(label, "28em"))

    def _taken(self, value: Any) -> Value:
        return str(value)


def _text_box(label: str, width: str) -> widgets.Text:
    """A box to type in; what is typed counts when it is left, or with Enter."""
    return widgets.Text(
        description=label,
        continuous_update=False,
        placeholder=LEFT_OUT,
        style={"description_width": LABEL_WIDTH},
        layout=widgets.Layout(width=width, max_width="100%"),
    )


def _typed(mm: float, system: System) -> str:
    """A length as a maker would type it; one that was solved, as the tape reads it."""
    for one, step in ((system, Step.FINE), (System.METRIC, Step.FINE), (system, Step.CALIPER)):
        if abs(residue(mm, one, step=step)) < SAME_MM:
            return text(mm, one, step=step)
    written = round(mm, 4)  # a maker does not write finer
    return exact(written, system) if abs(written - mm) < 1e-9 else text(mm, system)


def _fields(spec: Spec) -> Sequence[tuple[str, FieldInfo]]:
    return tuple(type(spec).model_fields.items())
