import ast
import json
import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest
from machine import LAB, serving

from kit.__main__ import main
from kit.casework import build
from kit.checks import check
from kit.design_file import example_text, read
from kit.finding import Status
from kit.fixes import in_turn, propose
from kit.notebook import launch


def run(*arguments):
    return subprocess.run(
        [sys.executable, "-m", "kit", *arguments], capture_output=True, text=True, check=False
    )


def test_check_of_the_example_is_good(capsys):
    assert main(["check"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("Film room console: 78 in x 21 in x 22 in")
    assert re.search(r"\b0 fail\b", out)
    assert "Not checked: household" in out


def test_check_prints_findings_as_json(capsys):
    assert main(["check", "--json"]) == 0
    findings = json.loads(capsys.readouterr().out)
    wanted = {
        "check", "subject", "status", "measured", "required", "sense", "unit", "assumes",
        "source", "why", "fix",
    }  # fmt: skip
    assert all(wanted <= set(finding) for finding in findings)


def test_a_failing_design_exits_with_1(tmp_path, capsys):
    path = tmp_path / "a.toml"
    path.write_text(example_text().replace('top_depth = "5/16 in"', 'top_depth = "1/8 in"'))
    assert main(["check", str(path)]) == 1
    assert "FAIL    doors stay in" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('width = "78 in"', 'width = "78"', "case.width"),
        ('width = "78 in"', 'width = "1,5 mm"', "1.5 mm"),
        ('at = "55 1/2 in"', 'at = "90 in"', "outside the clear inside"),
        ('corner_depth = "1/2 in"', 'corner_depth = "3/4 in"', "shallower than its board"),
        ("[case]", "[case", "not TOML"),
        ("walnut-ply-3/4", "walnut-ply-3/8", "walnut-ply-3/4"),
    ],
)
def test_bad_input_is_one_sentence_and_exit_2(tmp_path, capsys, old, new, says):
    path = tmp_path / "a.toml"
    path.write_text(example_text().replace(old, new))
    assert main(["check", str(path)]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.count("\n") == 1
    assert says in captured.err


def test_a_door_that_cannot_be_lifted_in_is_a_finding(tmp_path, capsys):
    path = tmp_path / "a.toml"
    path.write_text(example_text().replace("[doors]", '[doors]\nheight = "17 in"'))
    assert main(["check", str(path)]) == 1
    assert "FAIL    doors lift in" in capsys.readouterr().out


def test_new_writes_a_design_that_checks_and_never_overwrites(tmp_path, capsys):
    path = tmp_path / "mine.toml"
    assert main(["new", str(path)]) == 0
    assert main(["check", str(path)]) == 0
    path.write_text("mine")
    assert main(["new", str(path)]) == 2
    assert path.read_text() == "mine"
    assert "left alone" in capsys.readouterr().err


def test_schema_is_json(capsys):
    assert main(["schema"]) == 0
    assert json.loads(capsys.readouterr().out)["type"] == "object"


def test_check_answers_without_the_solid_kernel():
    code = (
        "import sys; from kit.__main__ import main; assert main(['check']) == 0;"
        "heavy = {'OCP', 'cadquery', 'vtkmodules', 'pandas', 'matplotlib', 'IPython'};"
        "sys.exit(','.join(sorted(heavy & set(sys.modules))) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_no_traceback_reaches_the_maker(tmp_path):
    done = run("check", str(tmp_path / "missing.toml"))
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert done.stderr.startswith("kit: ")


LATE = [pytest.param(step, marks=pytest.mark.minutes) for step in ("solids", "manifest")]


@pytest.mark.slow
@pytest.mark.parametrize("step", ["sheets", *LATE])
def test_stopping_a_plan_leaves_nothing_behind(tmp_path, step):
    out = tmp_path / "pack"
    command = [sys.executable, "-m", "kit", "plan", "--out", str(out)]
    with subprocess.Popen(
        command, stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as run:
        for line in run.stderr:
            if step in line:
                run.send_signal(signal.SIGINT)
                break
        rest = run.stderr.read()
        run.wait(timeout=60)
    assert run.returncode in (130, 0)  # 0 where the last step was done before the signal came
    assert "Traceback" not in rest
    left = [p.name for p in tmp_path.iterdir()]
    if run.returncode == 0 or (step == "manifest" and left):
        # the signal came when the pack was whole and in its place: all of it is there
        assert left == ["pack"]
        told = json.loads((out / "manifest.json").read_text())["sha256"]
        there = {p.relative_to(out).as_posix() for p in out.rglob("*") if p.is_file()}
        assert there == {*told, "manifest.json"}
    else:
        assert left == []
    assert not out.exists() or (out / "manifest.json").is_file()


@pytest.fixture
def launched(monkeypatch):
    """What `kit open` would have started."""
    seen = []

    def lab(notebook, options):
        seen.append(("lab", str(notebook), options))
        return 0

    def app(design_file, options):
        seen.append(("app", str(design_file), options))
        return 0

    monkeypatch.setattr(launch, "open_lab", lab)
    monkeypatch.setattr(launch, "open_app", app)
    return seen


def desk_of(notebook):
    """The last line of a desk notebook: what shows the desk."""
    read = nbformat.read(notebook, as_version=4)
    nbformat.validate(read)
    (code,) = (cell.source for cell in read.cells if cell.cell_type == "code")
    imports, shows = code.split("\n\n")
    assert imports == "from kit.notebook import desk"
    return shows.partition("  #")[0]


@pytest.fixture
def mine(tmp_path):
    """A design file with nothing beside it."""
    path = tmp_path / "mine.toml"
    path.write_text(example_text())
    return path


def test_open_writes_the_desk_beside_the_design_file_once(mine, launched):
    notebook = mine.with_suffix(".ipynb")
    assert main(["open", str(mine), "--no-browser", "--port=8899"]) == 0
    assert desk_of(notebook) == 'desk("mine.toml")'
    assert sorted(p.name for p in mine.parent.iterdir()) == ["mine.ipynb", "mine.toml"]
    once = notebook.stat()
    assert main(["open", str(mine), "--allow-root"]) == 0
    assert notebook.stat() == once
    assert launched == [
        ("lab", str(notebook), ["--no-browser", "--port=8899"]),
        ("lab", str(notebook), ["--allow-root"]),
    ]


def test_the_app_takes_no_notebook_and_leaves_none(mine, launched):
    assert main(["open", "--app", str(mine), "--port", "8899"]) == 0
    assert list(mine.parent.iterdir()) == [mine]
    mine.with_suffix(".ipynb").write_text("somebody's")
    assert main(["open", "--app", str(mine)]) == 0
    assert launched == [("app", str(mine), ["--port=8899"]), ("app", str(mine), [])]


def test_a_notebook_that_is_not_the_kits_is_opened_when_it_is_asked_for(mine, launched, capsys):
    notebook = mine.with_suffix(".ipynb")
    notebook.write_text("somebody's")
    assert main(["open", str(mine)]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert str(notebook) in said
    assert "--notebook" in said
    assert launched == []
    assert main(["open", str(mine), "--notebook"]) == 0
    assert launched == [("lab", str(notebook), [])]
    assert notebook.read_text() == "somebody's"


def test_no_notebook_is_written_through_a_link(mine, tmp_path, launched):
    elsewhere = tmp_path / "elsewhere"
    mine.with_suffix(".ipynb").symlink_to(elsewhere)
    assert main(["open", str(mine)]) == 2
    assert not elsewhere.exists()
    assert launched == []


def test_open_without_a_file_is_the_desk_of_the_example(tmp_path, monkeypatch, launched):
    monkeypatch.chdir(tmp_path)
    assert main(["open"]) == 0
    assert desk_of("design-desk.ipynb") == "desk()"
    assert launched == [("lab", "design-desk.ipynb", [])]


def ran(notebook):
    """The notebook as JupyterLab saves it when it has been run."""
    notebook["metadata"]["kernelspec"]["display_name"] = "Python 3 (ipykernel)"
    notebook["metadata"]["language_info"] |= {"version": "3.12.1", "file_extension": ".py"}
    *_, code = notebook["cells"]
    code["execution_count"] = 3
    code["outputs"] = [{"output_type": "stream", "name": "stdout", "text": ["a desk"]}]
    for cell in notebook["cells"]:
        cell["source"] = cell["source"].splitlines(keepends=True)


def one_more_cell(notebook):
    notebook["cells"].insert(0, notebook["cells"][-1] | {"id": "more", "source": "1"})


CHANGES = {
    "a cell more": one_more_cell,
    "a cell less": lambda notebook: notebook["cells"].pop(),
    "other code": lambda notebook: notebook["cells"][-1].update(source="import os"),
    "a space more": lambda notebook: notebook["cells"][-1].update(
        source=notebook["cells"][-1]["source"] + " "
    ),
    "another design": lambda notebook: notebook["cells"][-1].update(
        source=notebook["cells"][-1]["source"].replace("mine", "thine")
    ),
    "another kernel": lambda notebook: notebook["metadata"]["kernelspec"].update(name="bash"),
    "another language": lambda notebook: notebook["metadata"]["kernelspec"].update(language="R"),
    "no mark": lambda notebook: notebook["metadata"].pop("casework_kit"),
    "no kernel": lambda notebook: notebook["metadata"].pop("kernelspec"),
    "cells of another kind": lambda notebook: notebook.update(cells={"a": 1}),
}


def test_the_desk_is_the_kits_own_after_it_has_been_run(tmp_path):
    text = launch.desk_notebook.beside(Path("mine.toml"))
    path, notebook = tmp_path / "mine.ipynb", json.loads(text)
    ran(notebook)
    path.write_text(json.dumps(notebook))
    assert launch.desk_notebook.is_own(path, text)


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_a_desk_that_would_run_anything_else_is_not_the_kits_own(tmp_path, change):
    text = launch.desk_notebook.beside(Path("mine.toml"))
    path, notebook = tmp_path / "mine.ipynb", json.loads(text)
    change(notebook)
    path.write_text(json.dumps(notebook))
    assert not launch.desk_notebook.is_own(path, text)


@pytest.mark.parametrize("text", ["", "null", "[]", "[" * 200_000, '"a"', "{}", "\0", "\ud800"])
def test_what_is_no_notebook_is_not_the_kits_own(tmp_path, text):
    path = tmp_path / "mine.ipynb"
    path.write_text(text, errors="surrogatepass")
    assert not launch.desk_notebook.is_own(path, launch.desk_notebook.beside(None))


@pytest.mark.parametrize("name", ["a.toml", "it's.toml", 'a "b".toml', "a\\n.toml", "é {x}.toml"])
def test_the_desk_names_its_design_file_whatever_it_is_called(name):
    def call(text):
        source = json.loads(text)["cells"][-1]["source"]
        (call,) = (n for n in ast.walk(ast.parse(source)) if isinstance(n, ast.Call))
        within = {word.arg: ast.literal_eval(word.value) for word in call.keywords}
        return [ast.literal_eval(value) for value in call.args], within

    path, folder = Path("/far") / name, Path("/far")
    assert call(launch.desk_notebook.beside(path)) == ([name], {})
    assert call(launch.desk_notebook.apart(path, folder)) == ([str(path)], {"within": "/far"})
    assert call(launch.desk_notebook.apart(None, folder)) == ([], {"within": "/far"})


def test_open_offers_to_write_a_design_file_that_is_not_there(tmp_path, capsys, launched):
    assert main(["open", str(tmp_path / "mine.toml")]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert f"kit new {tmp_path / 'mine.toml'}" in said
    assert launched == []
    assert list(tmp_path.iterdir()) == []


def test_open_tells_a_broken_design_file_and_starts_nothing(tmp_path, capsys, launched):
    path = tmp_path / "mine.toml"
    path.write_text(example_text().replace('width = "78 in"', 'width = "78"'))
    assert main(["open", str(path)]) == 2
    assert "case.width" in capsys.readouterr().err
    assert launched == []
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize(
    ("options", "says"), [((), "JupyterLab"), (("--app",), "casework-kit[app]")]
)
def test_open_says_in_a_sentence_what_is_not_installed(
    tmp_path, monkeypatch, capsys, options, says
):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(launch, "find_spec", lambda name: None)
    assert main(["open", *options]) == 2
    said = capsys.readouterr().err.splitlines()
    assert "is not installed here" in said[-1]
    assert says in said[-1]


def test_options_that_no_command_knows_are_refused(capsys):
    with pytest.raises(SystemExit, match="2"):
        main(["check", "--no-browser"])
    assert "--no-browser" in capsys.readouterr().err


@pytest.mark.parametrize(
    "option",
    [
        "--ip=0.0.0.0",
        "--Voila.ip=0.0.0.0",
        "--ServerApp.ip=*",
        "--ServerApp.token=",
        "--IdentityProvider.token=",
        "--Voila.token=",
        "--ServerApp.disable_check_xsrf=True",
        "--ServerApp.allow_remote_access=True",
        "--ServerApp.allow_origin=*",
        "--ServerApp.tornado_settings={}",
        "--config=settings.py",
        "--VoilaConfiguration.preheat_kernel=True",
        "another.ipynb",
    ],
)
@pytest.mark.parametrize("way", [(), ("--app",)])
def test_nothing_that_would_let_others_in_goes_through(mine, launched, capsys, option, way):
    with pytest.raises(SystemExit, match="2"):
        main(["open", str(mine), *way, option])
    assert option in capsys.readouterr().err
    assert launched == []
    assert list(mine.parent.iterdir()) == [mine]


@pytest.mark.minutes
def test_open_serves_the_desk_until_it_is_interrupted(tmp_path):
    path = tmp_path / "my console.toml"
    path.write_text(example_text())
    command = [sys.executable, "-m", "kit", "open", str(path), *LAB]
    with serving(command, "/lab/tree/my%20console.ipynb?token=", tmp_path):
        assert desk_of(tmp_path / "my console.ipynb") == 'desk("my console.toml")'


# --- kit fix ----------------------------------------------------------------------------------

#: The case is too shallow for the receiver, in three ways.
BOOTH = """
name = "Viewing booth console"

[room]
wall_gap = "50 mm"

[shop]
units = "mm"

[case]
width = "1500 mm"
height = "450 mm"
depth = "360 mm"
stock = "birch-ply-18"

[[divider]]
at = "750 mm"

[[gear]]
name = "receiver"
kind = "receiver"
bay = 2
"""


def failing(file):
    return {(f.check, f.subject) for f in check(build(read(file))).having(Status.FAIL)}


@pytest.fixture
def shallow(tmp_path):
    """A design file whose doors fall out: the groove above is too shallow."""
    path = tmp_path / "my console.toml"
    path.write_text(
        example_text().replace('top_depth = "5/16 in"', 'top_depth = "1/8 in"  # by eye')
    )
    return path


def test_too_few_sheets_on_hand_are_told_before_any_plan(tmp_path, capsys):
    """The example takes two sheets of 3/4 in walnut plywood and more; one is on hand."""
    short = tmp_path / "short.toml"
    short.write_text(
        example_text() + '\n[[sheet]]\nstock = "walnut-ply-3/4"\ncount = 1\n', encoding="utf-8"
    )
    assert main(["check", str(short)]) == 1
    said = capsys.readouterr()
    assert re.search(r"\b1 fail\b", said.out)
    assert "FAIL    sheets on hand (3/4 in walnut plywood): " in said.out
    assert "[2 sheets, at most 1 sheet]" in said.out
    assert said.err == ""
    assert main(["check", str(short), "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert "sheets on hand" in str(told)
    assert "sheets on hand do not hold" in said.out
    assert main(["fix", str(short)]) == 1
    assert "sheets on hand do not hold" in capsys.readouterr().out


def test_fix_tells_the_least_change_and_leaves_the_file_alone(shallow, capsys):
    before = shallow.read_bytes()
    assert main(["fix", str(shallow)]) == 0
    said = capsys.readouterr()
    assert "FAIL    doors stay in" in said.out
    assert "This makes it right: doors.top_depth = " in said.out
    assert "not every smaller change among them" in said.out
    assert "--write" in said.out
    assert "looking for" in said.err
    assert shallow.read_bytes() == before


@pytest.mark.slow
def test_fix_writes_what_it_found_and_keeps_the_rest(shallow, capsys):
    before = shallow.read_text().splitlines()
    assert main(["fix", str(shallow), "doors stay in", "--write"]) == 0
    said = capsys.readouterr().out
    after = shallow.read_text().splitlines()
    (changed,) = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    assert changed[1].endswith("  # by eye")
    assert changed[1].split("  #")[0].strip().split(" = ")[0] == "top_depth"
    assert f"doors.{changed[1].split('  #')[0].strip()}".replace('"', "") in said
    assert main(["check", str(shallow)]) == 0
    assert [p.name for p in shallow.parent.iterdir()] == [shallow.name]
    capsys.readouterr()
    assert main(["fix", str(shallow), "doors stay in"]) == 0
    assert capsys.readouterr().out == "Nothing to change: 0 fail, 0 unknown, 1 watch, 0 ok.\n"


def test_fix_mends_each_failing_finding_on_what_the_last_left(tmp_path, capsys):
    path = tmp_path / "a.toml"
    path.write_text(BOOTH)
    assert len(failing(path)) == 3
    assert main(["fix", str(path), "--write"]) == 0
    said = capsys.readouterr().out
    assert said.count("This makes it right:") == 1  # the deeper case cures all three
    assert "- case 110 mm deeper" in said
    assert failing(path) == set()


def test_fix_of_one_check_leaves_the_others(tmp_path, capsys):
    path = tmp_path / "a.toml"
    path.write_text(BOOTH)
    assert main(["fix", str(path), "stands on its board", "receiver", "--write"]) == 0
    assert failing(path) == {("fits in depth", "receiver"), ("free behind", "receiver")}
    assert main(["check", str(path)]) == 1
    assert f"kit fix {path}" in capsys.readouterr().out


def test_fix_says_why_nothing_cures_it_and_exits_with_1(tmp_path, capsys):
    path = tmp_path / "a.toml"
    path.write_text(f'{BOOTH}\n[measured.thickness]\n"birch-ply-18" = ["17 mm", "18.5 mm"]\n')
    before = path.read_text()
    assert main(["fix", str(path), "sheet thickness", "--write"]) == 1
    said = capsys.readouterr().out
    assert "No value of this design makes it right. The spread is in the sheets" in said
    assert said.endswith("Nothing to change: 1 fail, 0 unknown, 0 watch, 0 ok.\n")
    assert path.read_text() == before


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (["doors stay inn"], "did you mean 'doors stay in'?"),
        (["qqq"], "kit check --all"),
        (["doors stay in", "door-7"], "it is about "),
    ],
)
def test_fix_of_what_no_finding_is_about_is_refused(shallow, capsys, asked, says):
    assert main(["fix", str(shallow), *asked]) == 2
    said = capsys.readouterr()
    assert says in said.err
    assert said.err.count("\n") == 1
    assert said.out == ""


def test_fix_never_writes_over_what_changed_meanwhile(shallow, capsys, monkeypatch):
    def meanwhile(*asked, **options):
        shallow.write_text(example_text() + "# mine\n")
        return propose(*asked, **options)

    monkeypatch.setattr(in_turn, "propose", meanwhile)
    assert main(["fix", str(shallow), "--write"]) == 2
    assert "has changed meanwhile" in capsys.readouterr().err
    assert shallow.read_text().endswith("# mine\n")


@pytest.mark.slow
def test_fix_writes_what_a_link_leads_to(shallow, capsys):
    link = shallow.with_name("link.toml")
    link.symlink_to(shallow.name)
    assert main(["fix", str(link), "--write"]) == 0
    assert link.is_symlink()
    assert failing(shallow) == set()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full here")
def test_a_full_disk_is_told_in_a_sentence():
    with open("/dev/full", "w") as full:
        command = [sys.executable, "-m", "kit", "schema"]
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert done.returncode == 2
    assert done.stderr == "kit: What is said cannot be read or written: No space left on device.\n"


def test_a_reader_who_has_seen_enough_is_no_error():
    command = [sys.executable, "-m", "kit", "schema"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as run:
        run.stdout.read(1)
        run.stdout.close()
        said = run.stderr.read()
    assert (run.returncode, said) == (0, b"")


@pytest.mark.parametrize("command", ["check", "fix"])
def test_a_file_without_a_name_is_not_the_example(command, capsys):
    assert main([command, ""]) == 2
    assert "cannot be read" in capsys.readouterr().err


def test_letters_that_a_terminal_lacks_are_told_all_the_same(tmp_path):
    path = tmp_path / "a.toml"
    path.write_text(BOOTH.replace("Viewing booth", "観覧席"), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "kit", "check", str(path)],
        capture_output=True,
        env={**os.environ, "PYTHONIOENCODING": "latin-1"},
        check=False,
    )
    assert done.returncode == 1
    assert done.stderr == b""
    assert b"\\u89b3" in done.stdout
