"""A design that comes in a folder that somebody else has filled: nothing in there is run or read.

Each file of `PROGRAMS` says so where it is run. They have the names of what the kit, its child
processes and the servers of `kit open` import, and of files that those servers may read their
settings from.
"""

import json
import os
import re
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from jupyter_client import BlockingKernelClient
from machine import LOOPBACK, free_port, of_its_own, serving
from test_search import LOW_CASE

from kit import search
from kit.children import environment, python
from kit.making.nesting.effort import final_effort
from kit.making.nesting.guillotine import final_layout
from kit.making.nesting.layout import Piece, Sheet
from kit.making.nesting.packing_pool import PackingPool
from kit.making.nesting.sheet_jobs import sheet_job
from kit.notebook.launch import desk_notebook

MODULES = (
    "IPython", "cadquery", "encodings", "ipykernel", "ipykernel_launcher", "joblib", "json",
    "jupyter_server", "jupyterlab", "kit", "loky", "matplotlib_inline", "numpy", "pickle",
    "sitecustomize", "stolen", "typing", "usercustomize", "voila",
)  # fmt: skip
SETTINGS = (
    "ipython_config", "ipython_kernel_config", "jupyter_config", "jupyter_lab_config",
    "jupyter_server_config",
)  # fmt: skip
PROGRAMS = tuple(f"{name}.py" for name in (*MODULES, *SETTINGS))
#: A design that is laid out by the packing children: two sizes of sheet for one stock.
DESIGN = LOW_CASE.replace(
    "count = 1\n", 'length = "60 in"\n\n[[sheet]]\nstock = "walnut-ply-3/4"\nlength = "72 in"\n'
)
#: The command that a maker has: its own folder comes first on its path, and not the current one.
KIT = str(Path(sys.executable).with_name("kit"))


@pytest.fixture
def told(tmp_path):
    """What has been run, a line each."""
    return tmp_path / "told"


@pytest.fixture
def strange(tmp_path, told):
    """The folder."""
    folder = tmp_path / "strange"
    folder.mkdir()
    (folder / "console.toml").write_text(DESIGN)
    (folder / "narrower.toml").write_text(DESIGN.replace('"48 in"', '"47 in"'))
    tells = f"open({str(told)!r}, 'a').write(__file__ + chr(10))\n"
    for name in PROGRAMS:
        (folder / name).write_text(tells)
    cell = {"cell_type": "code", "id": "a", "metadata": {}, "outputs": [], "execution_count": None}
    notebook = json.loads(desk_notebook.beside(None))
    notebook["cells"] = [cell | {"source": f"open({str(told)!r}, 'a').write('console.ipynb')"}]
    (folder / "console.ipynb").write_text(json.dumps(notebook))
    said = {"Voila": {"ip": "0.0.0.0", "token": ""}, "VoilaConfiguration": {"template": "stolen"}}
    (folder / "voila.json").write_text(json.dumps(said))
    (folder / "matplotlibrc").write_text("backend: module://stolen\n")
    (folder / "ezdxf.ini").write_bytes("[core]\n".encode("utf-16"))  # ends who reads it
    return folder


@pytest.fixture
def variables(tmp_path):
    return {
        name: value for name, value in of_its_own(tmp_path / "home").items() if name != "PYTHONPATH"
    }


def test_the_library_of_dxf_reads_no_settings_of_the_folder(strange):
    """Nor where the solid kernel imports it."""
    shows = (
        "import os, kit, cadquery; from ezdxf import options\n"
        "print(options.loaded_config_files, os.getcwd(), sep=chr(10))"
    )
    done = subprocess.run(
        python("-c", shows), env=environment(), cwd=strange, capture_output=True, text=True
    )
    assert (done.stderr, done.returncode) == ("", 0)
    read, where = done.stdout.splitlines()
    assert str(strange) not in read
    assert "('ezdxf.ini')" not in read  # the maker's own, at home, may be
    assert where == str(strange)


# --- child processes --------------------------------------------------------------------------


def test_a_python_of_the_kit_imports_nothing_from_where_it_runs(strange, told, monkeypatch):
    monkeypatch.chdir(strange)
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join(["", ".", "here", str(strange.parent)]))
    shows = "import json, kit, sys; print(*sys.path, sep=chr(10)); print(kit.__file__)"
    inner = f"import subprocess, sys; subprocess.run([sys.executable, '-c', {shows!r}], check=True)"
    for program in (shows, inner):
        done = subprocess.run(
            python("-c", program), env=environment(), capture_output=True, text=True, check=True
        )
        *path, kit_file = done.stdout.splitlines()
        assert str(strange.parent) in path  # an absolute place is the maker's own
        assert not {"", ".", "here", str(strange), str(strange / "here")} & set(path)
        assert Path(kit_file) == Path(search.__file__).parents[1] / "__init__.py"
    assert not told.exists()


def pieces_and_sheets():
    pieces = [Piece(f"b{n}", 700 - 31 * n, 300 - 17 * n, True) for n in range(8)]
    return pieces, [Sheet("short", 1500, 1200), Sheet("long", 1800, 1200)]


def test_the_packing_children_run_no_code_of_a_strange_folder(strange, told, monkeypatch):
    monkeypatch.chdir(strange)
    job = sheet_job(*pieces_and_sheets(), 3.0)
    rung = final_effort(job).ladder[0][0]
    with PackingPool(1, time.monotonic() + 120) as pool:
        (packing,) = pool([(job, rung)])
        assert packing is not None
        assert pool.lost == ""
    assert not told.exists()


def test_a_layout_whose_children_died_says_so(monkeypatch):
    dies = python("-c", "raise SystemExit(7)")
    monkeypatch.setattr("kit.making.nesting.packing_pool.python", lambda *arguments: dies)
    pieces, sheets = pieces_and_sheets()
    layout = final_layout(pieces, sheets, 3.0, budget_s=60)
    assert "exit code 7" in layout.cut_short
    assert sum(len(sheet.placements) for sheet in layout.sheets) == len(pieces)


def test_workers_of_the_search_run_no_code_of_a_strange_folder(strange, told, monkeypatch):
    monkeypatch.chdir(strange)
    before = {name: os.environ.get(name) for name in ("PYTHONPATH", "PYTHONSAFEPATH")}
    wanted = search.Request(
        free=(search.Free.read("case.width = 47 in .. 48 in by 1 in"),),
        goals=(search.Goal.read("largest"),),
    )
    found = search.search(LOW_CASE, wanted, workers=2)
    assert len(found.rows) == 2
    assert not told.exists()
    assert {name: os.environ.get(name) for name in before} == before


# --- commands ---------------------------------------------------------------------------------

COMMANDS = {
    "new": ("new", "{}fresh.toml"),
    "check": ("check", "{}console.toml"),
    "fix": ("fix", "{}console.toml"),
    "plan": ("plan", "{}console.toml", "--out", "pack"),
    "search": (
        *("search", "{}console.toml", "--workers", "2", "--goal", "largest", "--out", "found"),
        *("--free", "case.width = 47 in .. 48 in by 1 in"),
    ),
    "what-if": ("what-if", "{}console.toml", "--set", "wide: case.width = 49 in"),
    "changes": ("changes", "{}console.toml", "{}narrower.toml"),
    "schema": ("schema",),
}


def places(strange):
    """Where a command is run, and how it names the design there."""
    outside = strange.parent / "outside"
    outside.mkdir()
    return [(strange, ""), (outside, f"{strange}/")]


@pytest.mark.minutes
@pytest.mark.parametrize("words", COMMANDS.values(), ids=COMMANDS)
def test_every_command_runs_no_code_of_a_strange_folder(strange, told, variables, words):
    for folder, at in places(strange):
        (strange / "fresh.toml").unlink(missing_ok=True)
        done = subprocess.run(
            [KIT, *(word.format(at) for word in words)],
            cwd=folder,
            env=variables,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode in (0, 1), done.stderr
        assert done.stdout
        assert "cut short" not in done.stdout
        assert not told.exists(), told.read_text()


@pytest.mark.minutes
def test_the_app_runs_no_code_of_a_strange_folder(strange, told, variables):
    before = sorted(strange.iterdir())
    for folder, at in places(strange):
        command = [KIT, "open", f"{at}console.toml", "--app", "--no-browser"]
        with serving([*command, f"--port={free_port()}"], "/?token=", folder, variables) as url:
            with urllib.request.urlopen(url, timeout=300) as page:
                shown = page.read().decode()
            assert "48 in wide" in shown
            assert "kit-cut-list" in shown
        assert not told.exists(), told.read_text()
    assert sorted(strange.iterdir()) == before


@pytest.mark.minutes
def test_jupyterlab_runs_no_code_of_a_strange_folder(strange, told, variables):
    for folder, at in places(strange):
        command = [KIT, "open", f"{at}console.toml", "--no-browser", "--allow-root", "--port=0"]
        if folder == strange:  # from outside, it opens what the kit has written there by then
            done = subprocess.run(
                command, cwd=folder, env=variables, capture_output=True, text=True, check=False
            )
            assert done.returncode == 2
            assert "--notebook" in done.stderr
            (strange / "console.ipynb").unlink()
        with serving(command, "/lab/tree/console.ipynb?token=", folder, variables) as url:
            assert asked_nobody(url)
            assert ran_desk(url, Path(variables["JUPYTER_RUNTIME_DIR"]))
        assert not told.exists(), told.read_text()


def answered(asked):
    """What the server answers; it says where it listens a moment before it does."""
    for _ in range(60):
        try:
            with urllib.request.urlopen(asked, timeout=120) as answer:
                return json.load(answer)
        except urllib.error.HTTPError:
            raise
        except urllib.error.URLError:
            time.sleep(1)
    raise AssertionError(f"nobody answers at {asked.full_url}")


def asked_nobody(url):
    """Whether JupyterLab answers its page without news and without a newer version."""
    server, _, token = re.fullmatch(r"(http://[^/]+)(/.*)\?token=(\w+)", url).groups()
    told = []
    for what in ("news", "update"):
        asked = urllib.request.Request(
            f"{server}/lab/api/{what}", headers={"Authorization": f"token {token}"}
        )
        told.append(answered(asked))
    return told == [{"news": []}, {"notification": None}]


def ran_desk(url, runtime):
    """Start a kernel as JupyterLab does for the notebook, and run its cell: did it go well?"""
    server, _, token = re.fullmatch(r"(http://[^/]+)(/.*)\?token=(\w+)", url).groups()
    asked = urllib.request.Request(
        f"{server}/api/sessions",
        json.dumps(
            {
                "path": "console.ipynb",
                "name": "console.ipynb",
                "type": "notebook",
                "kernel": {"name": "python3"},
            }
        ).encode(),
        {"Authorization": f"token {token}"},
    )
    number = answered(asked)["kernel"]["id"]
    client = BlockingKernelClient(connection_file=str(runtime / f"kernel-{number}.json"))
    client.load_connection_file()
    client.hb_channel.time_to_dead = 60.0  # a busy machine is no dead kernel
    client.start_channels()
    try:
        client.wait_for_ready(timeout=120)
        cell = json.loads(desk_notebook.beside(Path("console.toml")))["cells"][-1]["source"]
        reply = client.execute_interactive(
            f"{cell}\nimport json, numpy", timeout=300, output_hook=lambda message: None
        )
        return reply["content"]["status"] == "ok"
    finally:
        client.stop_channels()


# --- a maker's own settings -------------------------------------------------------------------

OPEN_TO_ALL = """
c = get_config()
c.Voila.ip = c.ServerApp.ip = "0.0.0.0"
c.Voila.token = c.IdentityProvider.token = ""
c.Voila.tornado_settings = {"headers": {}, "allow_remote_access": True}
c.ServerApp.allow_remote_access = c.ServerApp.disable_check_xsrf = True
"""


@pytest.mark.minutes
def test_the_app_keeps_its_token_and_its_address_whatever_the_settings_say(strange, variables):
    home = Path(variables["JUPYTER_CONFIG_DIR"])
    home.mkdir(parents=True)
    (home / "voila.py").write_text(OPEN_TO_ALL)
    command = [KIT, "open", "console.toml", "--app", "--no-browser", f"--port={free_port()}"]
    with serving(command, "/?token=", strange, variables) as url:
        assert re.fullmatch(rf"http://{LOOPBACK}:\d+/\?token=\w{{48}}", url)
        for asked in (url.partition("?")[0], f"{url[:-1]}x"):
            with urllib.request.urlopen(asked, timeout=60) as page:
                assert "/login?" in page.url


@pytest.mark.minutes
def test_jupyterlab_does_not_open_without_a_token(strange, variables):
    home = Path(variables["JUPYTER_CONFIG_DIR"])
    home.mkdir(parents=True)
    (home / "jupyter_server_config.py").write_text(OPEN_TO_ALL)
    (strange / "console.ipynb").unlink()
    done = subprocess.run(
        [KIT, "open", "console.toml", "--no-browser", "--allow-root", "--port=0"],
        cwd=strange,
        env=variables,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 1
    assert "your settings of Jupyter have turned its token off" in done.stderr
