"""Pieces of any number of boards, for the benchmarks."""

import tomlkit


def wall(bays: int, shelves: int, *, lipped: bool = False) -> str:
    """A wall of shelves in birch, as a design file; `lipped`: a strip of wood before each shelf.

    It has 4 + (bays - 1) + bays * (1 + shelves) boards, and bays * shelves more where lipped.
    """
    width, height = 60.0 + 280.0 * bays, 2390.0
    pitch = (height - 60) / (shelves + 1)
    strip = {"stock": "walnut-lipping-1/4", "thickness": "6 mm", "height": "18 mm"}
    data = {
        "name": "Wall of shelves",
        "shop": {"units": "mm"},
        "case": {
            "width": f"{width} mm",
            "height": f"{height} mm",
            "depth": "400 mm",
            "stock": "birch-ply-18",
            "corner": "rabbet",
            "corner_depth": "9 mm",
        },
        "divider": [{"at": f"{width / bays * n} mm"} for n in range(1, bays)],
        "shelf": [
            {"bay": bay, "clear_below": f"{pitch * level:.1f} mm"}
            | ({"lipping": strip} if lipped else {})
            for bay in range(1, bays + 1)
            for level in range(1, shelves + 1)
        ],
        "back": {
            "stock": "birch-ply-6.5",
            "method": "planted",
            "panels": [{"bays": [bay]} for bay in range(1, bays + 1)],
        },
    }
    return tomlkit.dumps(data)
