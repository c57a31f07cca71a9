"""The app answers to its maker alone: not to other pages that the maker's browser has open.

One browser, logged in to the app; a page of another site in it, under another host name, tries
what it can. `evil.example` leads to the loopback, as a name server of its owner may say (DNS
rebinding).
"""

import re
import sys
import threading
import time
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest
from labpage import TIMEOUT_S
from machine import LOOPBACK, free_port, of_its_own, serving

from conftest import FLAGS, program
from kit.design_file import example_text

#: A kernel starts, loads the solid kernel and makes the console, on a machine that is busy.
START_S = 400
EVIL = "evil.example"
RULES = f"--host-resolver-rules=MAP {EVIL} {LOOPBACK}"
#: What a page tries at an address of the app: to have it shown, read, opened, posted to. Gives
#: what it came by.
ATTACK = """async ([app, kernel]) => {
    const within = (work, ms) => Promise.race(
        [work, new Promise(done => setTimeout(() => done('nothing'), ms))]);
    const shown = tag => new Promise(done => {
        const one = document.createElement(tag);
        one.onload = () => done('loaded');
        one.onerror = () => done('refused');
        one.src = app;
        document.body.append(one);
    });
    const socket = path => new Promise(done => {
        const one = new WebSocket(app.replace('http', 'ws') + path);
        one.onopen = () => done('open');
        one.onerror = one.onclose = () => done('refused');
    });
    const read = how => fetch(app, how).then(
        async answer => answer.type + answer.status + (await answer.text()).includes('kit-desk'),
        () => 'refused');
    const post = path => fetch(app + path,
        {method: 'POST', mode: 'no-cors', credentials: 'include'}).then(
            answer => answer.type + answer.status, () => 'refused');
    return {
        image: await within(shown('img'), 20000),
        script: await within(shown('script'), 20000),
        read: await within(read({credentials: 'include'}), 20000),
        blind: await within(read({mode: 'no-cors', credentials: 'include'}), 20000),
        socket: await within(socket(`api/kernels/${kernel}/channels`), 20000),
        shut: await within(post(`voila/api/shutdown/${kernel}`), 20000),
    };
}"""


@pytest.fixture(scope="module")
def rebound(browser):
    """A browser for which the name of the other site leads to this machine."""
    launched = browser.browser_type.launch(executable_path=program(), args=[*FLAGS, RULES])
    yield launched
    launched.close()


@pytest.fixture(scope="module")
def other_site():
    """A server of an empty page; its port."""

    class Empty(BaseHTTPRequestHandler):
        def do_GET(self):
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            self.wfile.write(b"<!doctype html><body>another site</body>")

        def log_message(self, *words):
            pass

    server = ThreadingHTTPServer((LOOPBACK, 0), Empty)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield server.server_port
    server.shutdown()


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    """A folder with a design file in it, and beside it one for what the server keeps."""
    made = tmp_path_factory.mktemp("home")
    (made / "designs").mkdir()
    (made / "kept").mkdir()
    (made / "designs" / "mine.toml").write_text(example_text())
    return made


@pytest.fixture(scope="module")
def app(home):
    """The app; its address with the token."""
    command = [sys.executable, "-m", "kit", "open", "mine.toml", "--app", "--no-browser"]
    variables = of_its_own(home / "jupyter") | {"TMPDIR": str(home / "kept")}
    folder = home / "designs"
    with serving([*command, f"--port={free_port()}"], "/?token=", folder, variables) as url:
        yield url


@pytest.fixture(scope="module")
def makers(rebound, app):
    """The maker's browser, with the desk open in it."""
    context = rebound.new_context()
    desk = context.new_page()
    desk.set_default_timeout(TIMEOUT_S * 1000)
    desk.goto(app, wait_until="commit")
    desk.locator(".kit-desk").wait_for(timeout=START_S * 1000)
    yield context
    context.close()


def kernels(home):
    """The kernels that run, by the files that say how to reach them."""
    return {path.stem.removeprefix("kernel-") for path in home.glob("kept/voila_*/kernel-*.json")}


def files(home):
    return {
        path: path.read_bytes()
        for path in home.rglob("*")
        if path.is_file() and "voila_" not in str(path)
    }


def page_of(context, address):
    page = context.new_page()
    page.set_default_timeout(TIMEOUT_S * 1000)
    page.goto(address)
    return page


def tried(page, address, home):
    """What the attack came by; no kernel, file or desk may be other than before."""
    (kernel,) = before = kernels(home)
    there = files(home)
    got = page.evaluate(ATTACK, [address, kernel])
    time.sleep(2)  # a kernel that was asked for is there by now
    assert kernels(home) == before
    assert files(home) == there
    return got


@pytest.mark.parametrize("site", [EVIL, "localhost", LOOPBACK])
@pytest.mark.parametrize("name", [LOOPBACK, "localhost", EVIL])
def test_a_page_of_another_site_gets_nothing(makers, app, home, other_site, site, name):
    """Of another port of the same name too, for which a browser has the same cookies."""
    address = f"{app.partition('?')[0]}".replace(LOOPBACK, name)
    page = page_of(makers, f"http://{site}:{other_site}/")
    assert page.evaluate("document.body.innerText") == "another site"
    got = tried(page, address, home)
    assert got["image"] == got["script"] == got["read"] == got["socket"] == "refused"
    assert "true" not in got["blind"]
    page.close()


def test_a_page_under_a_name_that_leads_here_gets_nothing(makers, app, home):
    """Its own address has become that of the app: all that it asks for is of its own site."""
    address = app.partition("?")[0].replace(LOOPBACK, EVIL)
    page = page_of(makers, address)
    assert "403" in page.content()
    got = tried(page, address, home)
    assert got == {
        "image": "refused",
        "script": "refused",
        "read": "basic403false",
        "blind": "basic403false",
        "socket": "refused",
        "shut": "basic403",
    }
    page.close()


def test_the_app_is_in_no_frame_and_opens_for_no_other_page(makers, app, home, other_site):
    bare = app.partition("?")[0]
    before = kernels(home)
    page = page_of(makers, f"http://{EVIL}:{other_site}/")
    for address in (bare, app):  # even by who knew the token
        page.evaluate(
            """address => new Promise(done => {
                const frame = document.createElement('iframe');
                frame.onload = done;
                frame.src = address;
                document.body.replaceChildren(frame);
            })""",
            address,
        )
        (frame,) = page.frames[1:]
        assert LOOPBACK not in frame.url
        if address == bare:
            assert kernels(home) == before
    now = kernels(home)
    with page.expect_popup() as popup:
        page.evaluate("address => { window.open(address); }", bare)
    popup.value.wait_for_load_state()
    assert "403" in popup.value.content()
    page.evaluate("address => { location.href = address; }", bare)
    page.wait_for_url(f"{bare}**")
    assert "403" in page.content()
    assert kernels(home) == now


def test_a_browser_without_the_token_is_asked_for_it(rebound, app, home):
    context, before = rebound.new_context(), kernels(home)
    page = page_of(context, app.partition("?")[0])
    assert re.search(r"/login\?", page.url)
    assert kernels(home) == before
    context.close()
