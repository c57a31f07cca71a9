"""No file is ever lost: the kit replaces only what it wrote and nobody has changed, or it asks."""

import hashlib
import json
import os
import shutil
from pathlib import Path

import pytest
from killing import SMALL, fill

from kit.__main__ import main
from kit.casework import Casework
from kit.design_file import example_text, read_text, rewrite
from kit.errors import OutputError
from kit.notebook.design_desk import Bench
from kit.plan_pack import files, folder, write_pack


def held(place: Path) -> dict[str, str]:
    """All that is in a folder, links and empty folders too, and what each of them is."""
    found = {}
    for path in sorted(place.rglob("*")):
        name = path.relative_to(place).as_posix()
        if path.is_symlink():
            found[name] = f"link to {os.readlink(path)}"
        else:
            found[name] = path.read_text(encoding="utf-8") if path.is_file() else str(path.is_dir())
    return found


# --- the folder of a pack -------------------------------------------------------------


@pytest.fixture
def pack(tmp_path: Path, example: Casework, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A pack of two files; others are written as soon."""
    monkeypatch.setattr(files, "fill", fill)
    write_pack(example, "one", tmp_path / "pack")
    return tmp_path / "pack"


def file(path: Path) -> None:
    path.parent.mkdir(exist_ok=True)
    path.write_text("mine")


#: What a maker, or a program of theirs, may have put into a folder.
MINE = {
    "notes.txt": file,
    ".bashrc": file,
    ".env": file,
    ".gitignore": file,
    ".netrc": file,
    ".console.toml.swp": file,
    ".hidden/.key": file,
    "photos": Path.mkdir,
    ".empty": Path.mkdir,
    "dxf/far": Path.mkdir,
    "dxf/mine.dxf": file,
    "dxf/.mine": file,
    "link": lambda path: path.symlink_to(path.parent.parent),
    ".link": lambda path: path.symlink_to("nowhere"),
    ".DS_Store": Path.mkdir,
    "Thumbs.db": lambda path: path.symlink_to("nowhere"),
    "dxf": lambda path: path.symlink_to(path.parent.parent),
    "pipe": os.mkfifo,
    "manifest.json.bak": file,
}


@pytest.mark.parametrize("name", MINE)
def test_whatever_no_pack_wrote_is_named_and_kept(pack: Path, example: Casework, name: str) -> None:
    (pack / "dxf").mkdir() if name.startswith("dxf/") else None
    MINE[name](pack / name)
    before = held(pack)
    with pytest.raises(OutputError) as caught:
        write_pack(example, "two", pack)
    told = name.split("/")[0] if name.startswith(".hidden") else name
    assert f"({told})" in str(caught.value)
    assert "move them, or choose" in str(caught.value)
    assert held(pack) == before
    assert [p.name for p in pack.parent.iterdir()] == ["pack"]


def test_what_file_managers_leave_is_in_nobodys_way(pack: Path, example: Casework) -> None:
    for name in (".DS_Store", "desktop.ini", "Thumbs.db", ".directory"):
        (pack / name).write_text("of the system")
    write_pack(example, "two", pack)
    assert sorted(held(pack)) == ["design.toml", "manifest.json"]


@pytest.mark.parametrize("name", ["design.toml", "manifest.json"])
def test_a_file_of_a_pack_that_was_edited_is_named_and_kept(
    pack: Path, example: Casework, name: str
) -> None:
    path = pack / name
    path.write_text(path.read_text().replace("o", "0"))
    edited = held(pack)
    with pytest.raises(OutputError, match=rf"{name}.*move.*choose an"):
        write_pack(example, "two", pack)
    assert held(pack) == edited
    shutil.move(path, pack.parent / "mine")
    if name == "design.toml":
        write_pack(example, "two", pack)
        assert (pack / name).read_text() == "two"
    assert (pack.parent / "mine").read_text() == edited[name]


def test_five_of_many_files_are_named(pack: Path, example: Casework) -> None:
    for number in range(9):
        (pack / f"{number}\x1b[31m.txt").write_text("mine")
    with pytest.raises(OutputError, match=r"\(0\\u001b\[31m\.txt, .*4.* and 4 more\)"):
        write_pack(example, "two", pack)


#: Names that a stranger would like to see deleted, or written over.
NEVER = (
    ".bashrc",
    "console.toml",
    "notes/design.toml",
    "../design.toml",
    "sheets-0.svg",
    "dxf/a/b.dxf",
)


@pytest.mark.parametrize("name", NEVER)
def test_no_manifest_makes_another_file_a_packs(
    tmp_path: Path, example: Casework, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    """A manifest that lists it with its right hash, sealed as the kit seals them."""
    monkeypatch.setattr(files, "fill", fill)
    place = tmp_path / "in" / "pack"
    path = place / name
    place.mkdir(parents=True)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("mine")
    said = {"design_sha256": "x", "sha256": {name: hashlib.sha256(b"mine").hexdigest()}}
    write = getattr(files, "sealed", lambda content, seal: json.dumps(content))
    (place / "manifest.json").write_text(write(said, getattr(files, "SEAL", "")))
    if name.startswith(".."):
        write_pack(example, "two", place)
    else:
        with pytest.raises(OutputError, match="holds other files"):
            write_pack(example, "two", place)
    assert path.read_text() == "mine"


def test_every_file_that_is_written_has_a_name_of_a_pack() -> None:
    for name in ("design.toml", "sheets-12.svg", "labels-1.svg", "dxf/side-left.dxf", "plan.pdf"):
        assert files.NAMES.fullmatch(name)


def test_a_way_through_a_link_leads_to_the_folder_that_is_looked_at(
    tmp_path: Path, example: Casework, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`link/../pack` lies beside what the link names, and not beside the link."""
    monkeypatch.setattr(files, "fill", fill)
    (tmp_path / "far" / "deep").mkdir(parents=True)
    (tmp_path / "link").symlink_to("far/deep")
    write_pack(example, "mine", tmp_path / "pack")
    (tmp_path / "pack" / "notes.txt").write_text("mine")
    write_pack(example, "one", tmp_path / "link" / ".." / "pack")
    assert (tmp_path / "pack" / "notes.txt").read_text() == "mine"
    assert (tmp_path / "far" / "pack" / "design.toml").read_text() == "one"


def test_what_comes_in_at_the_last_moment_is_put_back(
    pack: Path, example: Casework, monkeypatch: pytest.MonkeyPatch
) -> None:
    swap_in = folder.swap_in
    came = []

    def late(fresh: Path, place: Path) -> None:
        if not came:
            came.append((place / "notes.txt").write_text("mine"))
        swap_in(fresh, place)

    monkeypatch.setattr(folder, "swap_in", late)
    with pytest.raises(OutputError, match=r"\(notes\.txt\)"):
        write_pack(example, "two", pack)
    assert (pack / "notes.txt").read_text() == "mine"
    assert (pack / "design.toml").read_text() == "one"
    assert [p.name for p in pack.parent.iterdir()] == ["pack"]


def test_what_cannot_be_put_back_is_kept_beside(
    pack: Path, example: Casework, monkeypatch: pytest.MonkeyPatch
) -> None:
    swap_in = folder.swap_in
    calls = []

    def once(fresh: Path, place: Path) -> None:
        calls.append(place)
        if len(calls) > 1:
            raise OSError(5, "Input/output error")
        (place / "notes.txt").write_text("mine")
        swap_in(fresh, place)

    monkeypatch.setattr(folder, "swap_in", once)
    with pytest.raises(OutputError, match=r"they are in .*pack\.kept\."):
        write_pack(example, "two", pack)
    (kept,) = pack.parent.glob("pack.kept.*")
    assert (kept / "notes.txt").read_text() == "mine"


# --- the folder of a search -----------------------------------------------------------

LOW = SMALL + '[back]\nstock = "birch-ply-4"\n[[back.panels]]\nbays = [1]\n'
SEARCH = ["--free", "case.width = 400 mm .. 410 mm by 10 mm", "--goal", "largest", "--workers", "1"]


@pytest.fixture(scope="module")
def searched(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A design, and beside it the folder of a search that was made from it."""
    place = tmp_path_factory.mktemp("searched")
    (place / "low.toml").write_text(LOW)
    assert main(["search", str(place / "low.toml"), "--out", str(place / "out"), *SEARCH]) == 0
    return place


@pytest.fixture
def out(searched: Path, tmp_path: Path) -> Path:
    shutil.copytree(searched, tmp_path, dirs_exist_ok=True)
    return tmp_path / "out"


def search_into(out: Path) -> int:
    return main(["search", str(out.parent / "low.toml"), "--out", str(out), *SEARCH])


def test_a_search_replaces_what_it_wrote_and_goes_on(out: Path) -> None:
    before = held(out)
    assert sorted(before) == [
        "01.toml", "answers.jsonl", "found.csv", "trade-offs.svg", "written.json"
    ]  # fmt: skip
    assert search_into(out) == 0
    assert {n: t for n, t in held(out).items() if n != "answers.jsonl"} == {
        n: t for n, t in before.items() if n != "answers.jsonl"
    }


@pytest.mark.parametrize("name", ["01.toml", "found.csv", "trade-offs.svg", "answers.jsonl"])
@pytest.mark.parametrize("how", ["edited", "a file", "a link", "a link to nothing", "a folder"])
def test_a_search_neither_replaces_nor_follows_what_is_not_its_own(
    out: Path, capsys: pytest.CaptureFixture[str], name: str, how: str
) -> None:
    if (name, how) == ("answers.jsonl", "edited"):
        pytest.skip("is added to, and read line by line")
    path, victim = out / name, out.parent / "victim.txt"
    victim.write_text("of somebody")
    if how == "edited":
        path.write_text(path.read_text() + "mine")
    else:
        shutil.rmtree(out)
        out.mkdir()
        {
            "a file": lambda: path.write_text("mine"),
            "a link": lambda: path.symlink_to("../victim.txt"),
            "a link to nothing": lambda: path.symlink_to("../nothing.txt"),
            "a folder": path.mkdir,
        }[how]()
    before = held(out.parent)
    assert search_into(out) == 2
    assert name in (said := capsys.readouterr().err)
    assert "choose another folder" in said
    assert held(out.parent) == before


def test_a_search_follows_no_link_to_a_folder(
    out: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (out.parent / "far").mkdir()
    (out.parent / "link").symlink_to("far")
    assert search_into(out.parent / "link") == 2
    assert "is a link; name the folder" in capsys.readouterr().err
    assert held(out.parent / "far") == {}


def test_a_record_of_somebody_else_is_left_alone(
    out: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = (out / "written.json").read_text()
    for said in ("mine", "[" * 9000, record.replace("01.toml", "02.toml")):
        (out / "written.json").write_text(said)
        assert search_into(out) == 2
        assert "written.json is not, or no longer, the record" in capsys.readouterr().err
        assert (out / "written.json").read_text() == said


def test_no_record_makes_another_file_a_searchs(out: Path) -> None:
    from kit.own_files import digest, sealed
    from kit.search import folder as place

    (out / "notes.toml").write_text("mine")
    forged = {"sha256": {"notes.toml": [digest(out / "notes.toml")]}}
    (out / place.RECORD).write_text(sealed(forged, place.SEAL))
    assert "notes.toml" not in place._recorded(out)


def test_what_the_search_begins_with_is_not_replaced(
    out: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = held(out)
    assert main(["search", str(out / "01.toml"), "--out", str(out), *SEARCH]) == 2
    assert "is what the search begins with" in capsys.readouterr().err
    assert held(out) == before


@pytest.mark.parametrize("after", range(5))
def test_a_search_that_is_killed_while_it_writes_goes_on(
    out: Path, monkeypatch: pytest.MonkeyPatch, after: int
) -> None:
    from kit.search import folder as place

    write, done = place.write, []

    def killed(*asked: object, **options: object) -> None:
        if len(done) == after:
            raise KeyboardInterrupt
        done.append(asked)
        write(*asked, **options)

    other = {"01.toml": "a", "found.csv": "b", "trade-offs.svg": "c"}
    monkeypatch.setattr(place, "write", killed)
    with pytest.raises(KeyboardInterrupt):
        place.write_found(out, out.parent / "low.toml", other)
    monkeypatch.undo()
    place.write_found(out, out.parent / "low.toml", other)
    assert {name: held(out)[name] for name in other} == other


# --- a design file --------------------------------------------------------------------


def wider(text: str) -> str:
    return rewrite(text, {"case.width": "80 in"})


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    (tmp_path / "mine.toml").write_text(example_text())
    (tmp_path / "other.toml").write_text(rewrite(example_text(), {"name": "Other"}))
    return Bench(read_text(tmp_path / "mine.toml"), tmp_path / "mine.toml")


def test_after_load_and_undo_a_save_goes_to_its_own_file(bench: Bench, tmp_path: Path) -> None:
    other = read_text(tmp_path / "other.toml")
    bench.change(wider)
    mine = bench.work.text
    bench.load(tmp_path / "other.toml")
    assert (bench.path, bench.saved) == (tmp_path / "other.toml", True)
    bench.undo()
    assert (bench.path, bench.saved) == (tmp_path / "mine.toml", False)
    assert bench.save() == tmp_path / "mine.toml"
    assert read_text(tmp_path / "mine.toml") == mine
    assert read_text(tmp_path / "other.toml") == other
    with pytest.raises(OutputError, match=r"other\.toml holds something else"):
        bench.save(tmp_path / "other.toml")
    bench.redo()
    assert (bench.path, bench.saved) == (tmp_path / "other.toml", True)


def test_what_was_saved_under_another_name_stays_there_after_undo(
    bench: Bench, tmp_path: Path
) -> None:
    bench.change(wider)
    bench.save(tmp_path / "third.toml")
    bench.undo()
    assert (bench.path, bench.saved) == (tmp_path / "third.toml", False)
    bench.save()
    assert read_text(tmp_path / "mine.toml") == example_text()


def test_the_desk_asks_anew_after_another_step(bench: Bench, tmp_path: Path) -> None:
    from kit.notebook.design_desk.files import FilesPanel
    from kit.notebook.design_desk.places import Places

    panel, other = FilesPanel(bench, Places()), read_text(tmp_path / "other.toml")
    bench.follow(panel.show)
    panel._name.value = str(tmp_path / "other.toml")
    panel._save_as(None)
    bench.change(wider)
    panel._save_as(None)
    assert "holds something else" in panel._under.value
    panel._load(None)
    bench.undo()
    panel._save(None)
    assert read_text(tmp_path / "other.toml") == other
    panel._name.value = str(tmp_path / "other.toml")
    panel._save_as(None)
    assert read_text(tmp_path / "other.toml") == other
    panel._save_as(None)
    assert read_text(tmp_path / "other.toml") == bench.work.text


def test_of_two_desks_on_one_file_the_second_asks(bench: Bench, tmp_path: Path) -> None:
    two = Bench(read_text(tmp_path / "mine.toml"), tmp_path / "mine.toml")
    bench.change(wider)
    bench.save()
    two.change(lambda text: rewrite(text, {"case.depth": "20 in"}))
    with pytest.raises(OutputError, match="holds something else"):
        two.save()
    assert read_text(tmp_path / "mine.toml") == bench.work.text
    bench.save()
    two.load(tmp_path / "mine.toml")
    assert two.work.text == bench.work.text


def test_what_is_written_between_the_question_and_the_save_is_put_back(
    bench: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another desk saves in the very moment between the look at the file and its swap."""
    fsync = os.fsync

    def late(number: int) -> None:
        (tmp_path / "mine.toml").write_text("# of another desk")
        fsync(number)

    monkeypatch.setattr(os, "fsync", late)
    bench.change(wider)
    with pytest.raises(OutputError, match=r"mine\.toml holds something else"):
        bench.save()
    assert (tmp_path / "mine.toml").read_text() == "# of another desk"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["mine.toml", "other.toml"]


def test_new_replaces_no_file_that_comes_meanwhile(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "a.toml"
    monkeypatch.setattr(os, "fsync", lambda number: path.write_text("mine"))
    assert main(["new", str(path)]) == 2
    assert "left alone" in capsys.readouterr().err
    assert path.read_text() == "mine"
    assert [p.name for p in tmp_path.iterdir()] == ["a.toml"]


def test_a_clock_set_back_changes_nothing(bench: Bench, tmp_path: Path) -> None:
    """What a file holds counts, and not when it was written."""
    path = tmp_path / "mine.toml"
    path.write_text("# by hand")
    os.utime(path, (0, 0))
    bench.change(wider)
    with pytest.raises(OutputError, match="holds something else"):
        bench.save()
    path.write_text(example_text())
    os.utime(path, (4e9, 4e9))
    bench.save()
    assert read_text(path) == bench.work.text
