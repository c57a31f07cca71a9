"""Plots: the same file whatever settings of matplotlib are found where the kit runs."""

import subprocess
from pathlib import Path

from kit.children import environment, python

DRAW = """
from pathlib import Path
from kit.draw.plots import own_settings, plot, plot_svg

@own_settings
def line():
    figure, axes = plot()
    axes.plot([1, 2], [3, 4])
    axes.set_title("warmth")
    return plot_svg(figure)

Path("plot.svg").write_text(line())
"""


def drawn_in(folder: Path, settings: str) -> bytes:
    folder.mkdir()
    (folder / "matplotlibrc").write_text(settings)
    subprocess.run(python("-c", DRAW), cwd=folder, env=environment(), check=True)
    return (folder / "plot.svg").read_bytes()


def test_a_file_of_settings_in_the_folder_changes_no_plot(tmp_path):
    strange = "axes.facecolor: red\nfont.size: 30\ntext.usetex: True\nlines.linewidth: 9\n"
    assert drawn_in(tmp_path / "strange", strange) == drawn_in(tmp_path / "empty", "")
