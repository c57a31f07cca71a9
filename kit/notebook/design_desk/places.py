"""Where a desk reads and writes: wherever its maker says, or below one folder alone."""

from dataclasses import dataclass
from pathlib import Path

from kit.errors import OutputError

#: How the name of a design file ends.
DESIGN = ".toml"


@dataclass(frozen=True, slots=True)
class Places:
    """What the maker types into the desk, as paths.

    In a notebook, which may read and write anything as it is, `within` is None. The app has a
    folder: only design files and packs below it are named, none of them hidden, and no link on the
    way leads out of it.
    """

    within: Path | None = None

    def design_file(self, typed: str) -> Path:
        """The design file of that name. Raises OutputError where it may not be one."""
        path = self._typed(typed)
        if self.within is not None and path.suffix != DESIGN:
            raise OutputError(
                f"{typed.strip()!r} is not the name of a design file; let it end in {DESIGN}."
            )
        return path

    def pack_folder(self, typed: str) -> Path:
        """The folder of that name. Raises OutputError where no pack may be there."""
        path = self._typed(typed)
        if path == self._root:
            raise OutputError("A pack has a folder of its own; give it a name.")
        return path

    def reached(self, path: Path) -> Path:
        """The path as it is. Raises OutputError where it leads to a place that may not be named."""
        if (root := self._root) is None:
            return path
        try:
            end = path.resolve()
        except (OSError, ValueError, RuntimeError) as error:  # a link to itself, a zero byte
            raise OutputError(f"{str(path)!r} cannot be a file: {error}.") from None
        if not end.is_relative_to(root):
            raise OutputError(
                f"{path} is not below {root}, where this desk reads and writes; name a place there."
            )
        if any(part.startswith(".") for part in end.relative_to(root).parts):
            raise OutputError(f"{path} is hidden: a name begins with a dot; choose another.")
        return path

    def said(self, path: Path) -> str:
        """A path as it is shown and typed: from the folder on, where it lies below."""
        if self._root is not None and path.is_relative_to(self._root):
            return str(path.relative_to(self._root))
        return str(path)

    @property
    def _root(self) -> Path | None:
        return None if self.within is None else self.within.resolve()

    def _typed(self, typed: str) -> Path:
        named = Path(typed.strip())
        if (root := self._root) is None:
            return named.expanduser()
        return self.reached(root / named).resolve()
