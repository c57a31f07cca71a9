"""What groups of controls are made of: fields in the order of the work, and buttons.

`Picked` chooses one of several shelves, devices or sheets; the fields below it are those of the
one that is picked.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import ipywidgets as widgets

from kit import edits
from kit.design import Design
from kit.notebook.design_desk.bench import Bench, Edit, Value, Work, refused
from kit.notebook.design_desk.fields import (
    LABEL_WIDTH,
    ChoiceField,
    Field,
    Source,
    at,
    line,
    tell,
)
from kit.units import length

IN_BAY = "In bay"


class Group:
    """Controls that belong together under a heading. `widget` is what is put on the desk."""

    def __init__(self, title: str, parts: Sequence["Field | Picked | Action"]) -> None:
        self.title = title
        self._parts = tuple(parts)
        self.widget = widgets.VBox(
            [part.widget for part in parts], layout=widgets.Layout(width="100%")
        )

    def show(self, work: Work) -> None:
        """Show what the design holds."""
        for part in self._parts:
            part.show(work)


class Picked:
    """Which of several things of the design the fields below are about; counted from 1."""

    def __init__(self, label: str, names: Callable[[Work], Sequence[str]], none: str) -> None:
        self._names, self._none = names, none
        self._control = widgets.Dropdown(
            description=label,
            style={"description_width": LABEL_WIDTH},
            layout=widgets.Layout(width="28em", max_width="100%"),
        )
        self._fields: tuple[Field | Action, ...] = ()
        self._work: Work | None = None
        self._rest = widgets.VBox(layout=widgets.Layout(width="100%"))
        self.widget = widgets.VBox([self._control, self._rest])
        self._control.observe(self._picked, "value")

    def holding(self, *fields: "Field | Action") -> "Picked":
        """The same, with the fields of the one that is picked."""
        self._fields = fields
        self._rest.children = [field.widget for field in fields]
        return self

    @property
    def number(self) -> int | None:
        """The number of the one that is picked; None where there is none."""
        return self._control.value or None

    def at(self, template: str) -> Source:
        """The value at a path with the picked number in the place of {}."""
        return at(lambda: template.format(self.number) if self.number else None)

    def show(self, work: Work) -> None:
        """Show the names, and keep the one that is picked while there are as many."""
        self._work = None  # a pick in between is not the maker's
        names = self._names(work)
        options = tuple((name, number) for number, name in enumerate(names, start=1))
        number = min(self.number or 1, len(options))
        if self._control.options != (options or ((self._none, 0),)):
            self._control.options = options or ((self._none, 0),)
        self._control.value = number
        self._work = work
        self._picked()

    def _picked(self, change: Mapping[str, Any] | None = None) -> None:
        if self._work is not None:
            for field in self._fields:
                field.show(self._work)


class Action:
    """A button that takes a step. It is shown where `when` is true of the design."""

    def __init__(
        self,
        bench: Bench,
        label: str,
        about: str,
        edit: Callable[[], Edit],
        *,
        when: Callable[[Work], bool] = lambda work: True,
    ) -> None:
        self._bench, self._edit, self._when = bench, edit, when
        self._under = line()
        button = widgets.Button(
            description=label, tooltip=about, layout=widgets.Layout(width="auto")
        )
        button.on_click(self._pressed)
        self.widget = widgets.VBox([button, self._under])

    def show(self, work: Work) -> None:
        """Show the button where it has something to do."""
        self.widget.layout.display = None if self._when(work) else "none"
        tell(self._under, "")

    def _pressed(self, button: widgets.Button) -> None:
        tell(self._under, refused(lambda: self._bench.change(self._edit())))


class Choosing(Action):
    """A button below the choices that it needs."""

    def __init__(
        self,
        bench: Bench,
        label: str,
        about: str,
        edit: Callable[[], Edit],
        *choices: widgets.Dropdown,
    ) -> None:
        super().__init__(bench, label, about, edit)
        self._bays = [choice for choice in choices if choice.description == IN_BAY]
        self.widget = widgets.VBox(
            [*choices, self.widget],
            layout=widgets.Layout(border_top="1px solid", padding="0.4em 0", margin="0.4em 0 0 0"),
        )

    def show(self, work: Work) -> None:
        """Offer the bays that there are."""
        super().show(work)
        for choice in self._bays:
            options = [(str(bay.number), bay.number) for bay in work.casework.bays]
            if list(choice.options) != options:
                kept = choice.value
                choice.options = options
                choice.value = kept if kept in dict(options).values() else options[0][1]


class StandsOn(ChoiceField):
    """The boards on which something can stand."""

    def __init__(self, bench: Bench, source: Source, label: str) -> None:
        super().__init__(bench, source, label, [])

    def _put(self, value: Any, work: Work) -> None:
        shelves = [f"shelf-{number}" for number in range(1, len(work.design.shelves) + 1)]
        boards = ["bottom", *shelves, "top"]
        self._options = (("as usual", None), *((board, board) for board in boards))
        super()._put(value, work)


def bay_choice() -> widgets.Dropdown:
    """A choice of a bay; a button below it keeps it up to date."""
    return choice(IN_BAY, [("1", 1)])


def choice(label: str, options: Sequence[Any]) -> widgets.Dropdown:
    """A choice that a button below it needs."""
    return widgets.Dropdown(
        description=label,
        options=options,
        style={"description_width": LABEL_WIDTH},
        layout=widgets.Layout(width="28em", max_width="100%"),
    )


def part(bench: Bench, what: edits.Part) -> tuple[Action, Action]:
    """The buttons that put a part to the design, and take it away."""
    return (
        Action(
            bench,
            f"Add {what.value}",
            "A usual one to start from",
            lambda: by(edits.add_part, what),
            when=lambda work: not edits.has_part(work.design, what),
        ),
        Action(
            bench,
            f"Take {what.value} away",
            "It can be taken back",
            lambda: by(edits.remove_part, what),
            when=lambda work: edits.has_part(work.design, what),
        ),
    )


def by(edit: Callable[..., str], *arguments: Any) -> Edit:
    """An edit with all but its text given."""
    return lambda text: edit(text, *arguments)


def some(of: Callable[[Design], Sequence[object]]) -> Callable[[Work], bool]:
    """Whether a design has any of these."""
    return lambda work: bool(of(work.design))


def mm(value: Value, what: str) -> float:
    """A length as typed, mm. Raises UnitError."""
    return length(value, what=what)
