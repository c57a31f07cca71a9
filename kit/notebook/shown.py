"""What a cell shows: HTML, and plain text where HTML is not drawn."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Shown:
    """Something for a notebook to show; it is saved with the notebook and needs no kernel."""

    html: str
    plain: str

    def _repr_html_(self) -> str:
        return self.html

    def __repr__(self) -> str:
        return self.plain
