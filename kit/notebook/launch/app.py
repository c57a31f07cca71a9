"""Voila as `kit open --app` starts it: run with a notebook and options of its own.

It runs in an empty folder and imports nothing of the kit. The app answers its maker alone: to who
has its token, under a name of this machine, on a page that no other page holds.
"""

import secrets
import sys
import webbrowser
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from jupyter_core.paths import jupyter_config_path
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado.httputil import HTTPServerRequest
from tornado.routing import Matcher, Rule
from tornado.web import HTTPError, RequestHandler
from traitlets import default
from voila.app import Voila

LOOPBACK = "127.0.0.1"
#: The names under which the app is asked for. A page of another site that has its own name point
#: here (DNS rebinding) sends that name.
HOSTS = frozenset({LOOPBACK, "localhost", "[::1]"})
#: How many desks may be open at once, and how long one is kept that no page shows, s.
MOST_DESKS, KEPT_S, LOOKED_AFTER_S = 4, 300, 30
HEADERS = {
    # the page asks nobody but its own server: not for icons, nor for widgets
    "Content-Security-Policy": (
        "default-src 'self' 'unsafe-inline' 'unsafe-eval' data: blob:; "
        "frame-ancestors 'none'; base-uri 'self'; form-action 'self'; object-src 'none'"
    ),
    "Referrer-Policy": "same-origin",  # the token stands in the address
}


class DeskKernels(AsyncMappingKernelManager):
    """One kernel a desk, not more than a few at once; gone when no page shows its desk."""

    _starting = 0

    @default("cull_idle_timeout")
    def _kept(self) -> int:
        return KEPT_S

    @default("cull_interval")
    def _looked_after(self) -> int:
        return LOOKED_AFTER_S

    async def start_kernel(self, **kwargs: Any) -> str:  # type: ignore[override]
        """Start one. Raises HTTPError where there are enough."""
        if len(self.list_kernel_ids()) + self._starting >= MOST_DESKS:
            raise HTTPError(
                503,
                reason=f"{MOST_DESKS} desks are open, and there may be no more: close one, and try "
                f"again. What a closed page has left is gone after {KEPT_S // 60} minutes.",
            )
        self._starting += 1
        try:
            return str(await super().start_kernel(**kwargs))
        finally:
            self._starting -= 1


class FromElsewhere(Matcher):
    """Requests under another name than the machine's, or by a page of another site.

    Who brings the token may come from anywhere: so does the browser when it is opened.
    """

    def match(self, request: HTTPServerRequest) -> dict[str, Any] | None:
        """Arguments of the handler (none) for such a request; None for all others."""
        if request.host_name not in HOSTS:
            return {}
        asks = request.headers.get("Sec-Fetch-Site", "none")
        own = asks in ("none", "same-origin") or "token" in request.arguments
        return None if own else {}


class Refused(RequestHandler):
    """Answers nobody, and is in no frame either."""

    def set_default_headers(self) -> None:
        """Set what every page of the app has."""
        for name, value in HEADERS.items():
            self.set_header(name, value)

    def prepare(self) -> None:
        """Refuse, whatever is asked."""
        raise HTTPError(403)


class DeskApp(Voila):  # type: ignore[misc]
    """Voila, with what holds whatever a configuration file of the maker's says."""

    @default("config_file_paths")
    def _config_file_paths_default(self) -> list[str]:
        return list(jupyter_config_path())  # and not the current folder

    def initialize(self, argv: Sequence[str] | None = None) -> None:
        """Read options and configuration files, and then set what is not theirs to say."""
        super().initialize(argv)
        self.ip = LOOPBACK
        self.token = secrets.token_hex(24)
        self.root_dir = str(Path(self.notebook_path).parent)
        self.tornado_settings = {"headers": HEADERS, "allow_remote_access": False}
        desks = self.voila_configuration
        desks.multi_kernel_manager_class = DeskKernels
        desks.preheat_kernel = desks.progressive_rendering = False
        desks.allow_template_override = desks.allow_theme_override = "NO"
        desks.file_allowlist = []  # nothing of its folder

    def init_settings(self) -> dict[str, Any]:
        """The settings of the server; the cookie that stands for the token stays on its pages."""
        settings: dict[str, Any] = super().init_settings()
        self.identity_provider.cookie_options = {"samesite": "Strict", "expires_days": None}
        return settings

    def init_handlers(self) -> list[Any]:
        """Who answers what; what comes from elsewhere is refused before all else."""
        return [Rule(FromElsewhere(), Refused), *super().init_handlers()]

    @property
    def display_url(self) -> str:
        """Where the app is, with its token."""
        return f"{self.connection_url}?token={self.token}"

    def launch_browser(self) -> None:
        """Open a browser there, by a file: whoever lists the processes must not see the token."""
        way = Path(self.connection_dir) / "open.html"
        way.write_text(f'<meta http-equiv="refresh" content="0; url={self.display_url}">')
        webbrowser.open(way.as_uri(), new=self.webbrowser_open_new)


if __name__ == "__main__":
    DeskApp.launch_instance(sys.argv[1:])
