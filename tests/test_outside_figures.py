"""The page of outside checks: every file is on it, none is counted twice, the README counts."""

from pathlib import Path

import pytest

from kit.sources import Kind, Seen, Source, all_sources
from outside_figures import HOW_SEEN, OUTSIDE, as_text, disagreeing, published, seen_so, shown
from published import EXACT, NO_MORE, Figure, Reproduced, Within, by, share

ROOT = Path(__file__).parent.parent
TOLD = Source(key="told", title="A <book>", kind=Kind.HANDBOOK, seen=Seen.TEXT)


def of(theirs, ours, within=EXACT) -> Reproduced:
    return Figure("a length", "mm", theirs, lambda: ours, within).reproduced()


@pytest.mark.parametrize(
    ("row", "agrees"),
    [
        (of(40, 40.0), True),
        (of(40, 40.001), False),
        (of(40, 40.75, Within(0.1, 0.75)), True),
        (of(40, 39.8, Within(0.1, 0.75)), False),
        (of(200, 203, share(0.02)), True),
        (of(200, 205, share(0.02)), False),
        (of((10, 13), 12), True),
        (of((10, 13), 9.9), False),
        (of((10, 13), 13.1, by(0.2)), True),
        (of(8, 5, NO_MORE), True),
        (of(8, 9, NO_MORE), False),
        (of(-5, -5.05, share(0.02)), True),
        (of(0, float("nan")), False),
    ],
)
def test_when_a_figure_is_reproduced(row: Reproduced, agrees: bool) -> None:
    assert row.agrees is agrees
    assert disagreeing({TOLD: [row]}) == ([] if agrees else [row])


def test_the_page_shows_what_is_published_and_what_is_ours() -> None:
    row = of((10, 13), 13.125, by(0.2))
    assert row.cells == ("a length", "mm", "10 to 13", "13.125", "+0.12", "±0.2")
    assert "A <book> (handbook; text read)" in as_text({TOLD: [row]})
    html = shown({TOLD: [row]}).html
    assert "A &lt;book&gt;" in html
    assert "13.125" in html


def test_every_file_gives_its_figures_and_tests_them() -> None:
    files = sorted(OUTSIDE.glob("test_*.py"))
    assert files
    for path in files:
        text = path.read_text(encoding="utf-8")
        assert "\n@each(PUBLISHED)\n" in text, path.name
    assert all(published().values())


def test_no_figure_stands_twice() -> None:
    for source, figures in published().items():
        names = [figure.what for figure in figures]
        assert len(set(names)) == len(names), source.key


def test_a_source_of_the_kit_is_cited_as_the_kit_cites_it() -> None:
    for source in published():
        assert all_sources().get(source.key, source) == source


def test_the_readme_tells_how_many() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    found = published()
    count = {seen: sum(map(len, seen_so(found, seen).values())) for seen in Seen}
    assert f"prints all {sum(count.values())}" in text
    assert f"{count[Seen.TEXT]} of them are from {len(seen_so(found, Seen.TEXT))} sources" in text
    for seen, words in HOW_SEEN.items():
        assert seen is Seen.TEXT or f"{count[seen]} {words}" in text
