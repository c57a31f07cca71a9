"""JupyterLab as `kit open` starts it: run with a notebook and options of its own.

It runs in an empty folder and imports nothing of the kit.
"""

import sys
from collections.abc import Sequence
from pathlib import Path
from urllib.parse import quote

from jupyterlab.handlers.announcements import NeverCheckForUpdate
from jupyterlab.labapp import LabApp

LOOPBACK = "127.0.0.1"


def settings(notebook: Path, own_folder: Path) -> list[str]:
    """What holds whatever a configuration file of the maker's says."""
    return [
        f"--ServerApp.root_dir={notebook.parent}",
        f"--LabApp.default_url=/lab/tree/{quote(notebook.name)}",
        "--ServerApp.answer_yes=True",  # Ctrl-C ends it without a question
        # it answers to this machine, and to pages of its own
        f"--ServerApp.ip={LOOPBACK}",
        "--ServerApp.allow_remote_access=False",
        "--ServerApp.allow_origin=",
        "--ServerApp.allow_origin_pat=",
        "--ServerApp.disable_check_xsrf=False",
        # what stands beside the design is neither run nor written through
        f"--FileCheckpoints.checkpoint_dir={own_folder / 'checkpoints'}",
        "--LanguageServerManager.autodetect=False",  # it would look into node_modules there
        "--ServerApp.jpserver_extensions={'jupyterlab': True, 'voila.server_extension': False}",
        # it asks nobody for news, newer versions or extensions
        "--LabApp.news_url=None",
        f"--LabApp.check_for_updates_class={NeverCheckForUpdate.__module__}.NeverCheckForUpdate",
        "--LabApp.extension_manager=readonly",
    ]


def main(arguments: Sequence[str]) -> None:
    """Serve a notebook, with options of JupyterLab, until a signal ends it."""
    notebook, *options = arguments
    argv = [*options, *settings(Path(notebook), Path.cwd())]
    server = LabApp.initialize_server(argv=argv)
    if not server.identity_provider.auth_enabled:
        sys.exit(
            "kit: your settings of Jupyter have turned its token off, and anybody could use the "
            "desk; take that setting out."
        )
    server.start()


if __name__ == "__main__":
    main(sys.argv[1:])
