"""Designs searched for: against full enumeration, resumed, side by side, and to the last board."""

import csv
import io
import json
import os
import signal
import subprocess
import sys
import time
import warnings
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given
from machine import LOOPBACK, missing

from kit import finding
from kit.__main__ import main
from kit.casework import build
from kit.checks import check
from kit.design_file import example_text, parse, rewrite
from kit.draw.trade_offs import trade_offs_svg
from kit.edits import Part, add_part, case_width_in_proportion
from kit.errors import BuildError, CancelledError, DesignFileError, KitError, UnitError
from kit.finding import Finding, Report, Sense, Status
from kit.making.buy_list import buy_list, total
from kit.making.nesting.verify import layout_problems
from kit.making.sheets import sheet_plan, sheets_there
from kit.search import (
    Depth,
    Free,
    Goal,
    Limit,
    Measure,
    Request,
    Result,
    Stage,
    Verdict,
    judging,
    on_cluster,
    request,
    run,
    search,
    to_text,
    variants_of,
    what_if,
    what_if_table,
)
from kit.search.front import Bar
from kit.search.judging import built as known_by_its_boards
from kit.search.judging import changed_text, checked, judge, laid_out
from kit.search.result import result_of
from kit.units import System, length
from profiles import CHANGE, examples
from strategies import built

#: A case without gear, which is judged in a moment; one sheet of its wood is on hand.
LOW_CASE = """# the low case of the reading corner
name = "Low case"

[room]
wall_gap = "2 in"

[measured.thickness]
"walnut-ply-3/4" = ["0.72 in"]

[prices]
currency = "USD"
each = { "walnut-ply-3/4" = 100 }

[case]
width = "48 in"     # overall
height = "16 in"
depth = "16 in"
stock = "walnut-ply-3/4"

[[divider]]
at = "16 in"

[[sheet]]
stock = "walnut-ply-3/4"
count = 1
"""
TO_BUY = LOW_CASE.replace("count = 1\n", "")

WIDE = Free.read("case.width = 58 in .. 74 in by 1/2 in")
DEEP = Free.read("case.depth = 14 in .. 24 in by 2 in")


def asked(*free: Free, goals: Iterable[Goal] = (Goal.LARGEST,), **more: object) -> Request:
    return Request(free=free, goals=tuple(goals), **more)  # type: ignore[arg-type]


def found_by(result: Result) -> set[tuple[object, ...]]:
    return {tuple(row.changes.values()) for row in result.front}


def verdicts(result: Result) -> list[tuple[object, ...]]:
    return [(row.number, row.point, row.verdict, row.answer) for row in result.rows]


# --- what a maker writes ----------------------------------------------------------------------


def test_a_span_holds_both_of_its_ends():
    free = Free.read("case.width = 60 in .. 62 in by 1/2 in")
    assert free.values == ("60 in", "60 1/2 in", "61 in", "61 1/2 in", "62 in")
    assert free.lengths == pytest.approx([1524.0, 1536.7, 1549.4, 1562.1, 1574.8])
    metric = Free.read("case.depth = 400 mm .. 41 cm by 5 mm", System.METRIC)
    assert metric.values == ("400 mm", "405 mm", "410 mm")


def test_a_choice_keeps_numbers_and_words():
    assert Free.read("shelf.1.layers = 1 | 2").values == (1, 2)
    assert Free.read("case.corner = dado | rabbet").values == ("dado", "rabbet")


@pytest.mark.parametrize(
    ("read", "words", "says"),
    [
        (Free.read, "case.width", "cannot be read"),
        (Free.read, "case.width = 60 in .. 90 in", "no steps"),
        (Free.read, "case.width = 90 in .. 60 in by 1 in", "smaller length first"),
        (Free.read, "case.width = 60 in .. 90 in by 0 in", "above nought"),
        (Free.read, "case.width = 60 .. 90 in by 1 in", "no unit"),
        (Free.read, "case.width = 1 mm .. 90 m by 0.1 mm", "larger steps"),
        (Free.read, "case.stock = a | a", "twice"),
        (Goal.read, "prettiest", "largest, cheapest"),
        (Limit.read, "beauty = 3", "sheets.KEY"),
        (Limit.read, "mass.walnut-ply-3/4 = 3", "sheets.KEY"),
        (Limit.read, "mass = much", "mass = 40 kg"),
        (Limit.read, "height = 24", "no unit"),
    ],
)
def test_what_cannot_be_read_is_told_in_a_sentence(read, words, says):
    with pytest.raises((DesignFileError, UnitError)) as told:
        read(words)
    assert says in str(told.value)
    assert "\n" not in str(told.value)


def test_limits_are_read_in_their_units():
    assert Limit.read("height = 24 in") == Limit(Measure.HEIGHT, pytest.approx(609.6))
    assert Limit.read("heat = 35 °C") == Limit.read("heat=35") == Limit(Measure.HEAT, 35.0)
    assert Limit.read("sheets.walnut-ply-3/4 = 2") == Limit(Measure.SHEETS, 2.0, "walnut-ply-3/4")


@pytest.mark.parametrize(
    ("free", "says"),
    [("case.widht = 60 in .. 61 in by 1 in", "widht"), ("shelf.7.bay = 1 | 2", "shelf.7")],
)
def test_a_parameter_that_is_no_field_is_refused_before_anything_is_judged(free, says):
    with pytest.raises(DesignFileError, match=says):
        search(LOW_CASE, asked(Free.read(free)))


def test_the_cheapest_wants_a_price():
    unpriced = LOW_CASE.replace('each = { "walnut-ply-3/4" = 100 }', "")
    with pytest.raises(DesignFileError, match="names no price"):
        search(unpriced, asked(WIDE, goals=[Goal.CHEAPEST]))


# --- against full enumeration -----------------------------------------------------------------


def one_by_one(text: str, widths: Iterable[float], depths: Iterable[str]) -> Iterator[dict]:
    """Every design of a grid that can be built and fails in nothing, judged without the search."""
    for width, depth in product(widths, depths):
        try:
            said = case_width_in_proportion(rewrite(text, {"case.depth": depth}), width)
            casework = build(parse(said))
            plan = sheet_plan(casework, side_by_side=True)
        except KitError:
            continue
        if check(casework).failed:
            continue
        sheets = [sheet for one in plan.sheets for sheet in one.layout.sheets]
        area = sum(sheet.sheet.length_mm * sheet.sheet.width_mm for sheet in sheets)
        case = casework.design.case
        yield {
            "at": (round(width, 3), round(length(depth), 3)),
            Goal.LARGEST: -case.width * case.depth * case.height,
            Goal.LIGHTEST: casework.mass_kg,
            Goal.LEAST_WASTE: 1 - sum(sheet.board_area_mm2 for sheet in sheets) / area,
            Goal.CHEAPEST: float(total(buy_list(casework, sheets=plan.bought)).amount),
            "sheets": len(sheets),
        }


def best_of(rows: list[dict], goals: tuple[Goal, ...]) -> set[tuple[float, float]]:
    """The front by its definition: nobody is as good in all and better in one."""

    def beaten(row: dict) -> bool:
        return any(
            all(other[goal] <= row[goal] + 1e-9 for goal in goals)
            and any(other[goal] < row[goal] - 1e-9 for goal in goals)
            for other in rows
        )

    return {row["at"] for row in rows if not beaten(row)}


@pytest.mark.parametrize("seed", [1, 2])
def test_the_largest_from_one_sheet_is_that_of_full_enumeration(seed):
    widths = [58 * 25.4 + 12.7 * number for number in range(33)]
    rows = list(one_by_one(LOW_CASE, widths, ["16 in"]))
    assert 0 < len(rows) < len(widths)  # the sheet is the limit somewhere between
    (largest,) = best_of(rows, (Goal.LARGEST,))
    result = search(LOW_CASE, asked(WIDE, seed=seed), workers=1)
    (row,) = result.front
    assert WIDE.lengths[row.point[0]] == pytest.approx(largest[0])
    assert row is result.rows[0]
    assert any(r.verdict is Verdict.BEATEN for r in result.rows)  # not all were laid out


@pytest.mark.parametrize(
    "goals",
    [
        (Goal.LARGEST, Goal.LIGHTEST),
        (Goal.LEAST_WASTE, Goal.CHEAPEST),
        (Goal.LARGEST, Goal.CHEAPEST, Goal.LEAST_WASTE),
    ],
)
def test_a_front_is_that_of_full_enumeration(goals):
    wide = Free.read("case.width = 40 in .. 100 in by 10 in")
    rows = list(one_by_one(TO_BUY, wide.lengths, [str(value) for value in DEEP.values]))
    result = search(TO_BUY, asked(wide, DEEP, goals=goals), workers=1)
    found = {(wide.lengths[row.point[0]], DEEP.lengths[row.point[1]]) for row in result.front}
    assert {(round(w, 3), round(d, 3)) for w, d in found} == best_of(rows, goals)


def test_a_limit_is_kept_and_costs_what_it_costs():
    wide = Free.read("case.width = 40 in .. 90 in by 10 in")
    rows = [r for r in one_by_one(TO_BUY, wide.lengths, ["16 in"]) if r["sheets"] <= 1]
    limited = search(TO_BUY, asked(wide, limits=(Limit.read("sheets = 1"),)), workers=1)
    (row,) = limited.front
    assert wide.lengths[row.point[0]] == pytest.approx(
        min(rows, key=lambda r: r[Goal.LARGEST])["at"][0]
    )
    assert any(r.verdict is Verdict.OVER for r in limited.rows)
    (free,) = search(TO_BUY, asked(wide), workers=1).front
    assert free.answer.size_m3 > row.answer.size_m3


def test_a_grid_too_large_to_look_through_is_searched_from_its_front():
    """Both limits are to be used up, whatever lies between: known without any enumeration."""
    free = (
        Free.read("case.width = 30 in .. 62 in by 1/4 in"),
        Free.read("case.depth = 10 in .. 24 in by 1/4 in"),
    )
    limits = (Limit.read("width = 55 1/4 in"), Limit.read("depth = 18 1/2 in"))
    wanted = asked(*free, limits=limits, most=300, seed=3)
    assert not wanted.whole
    result = search(LOW_CASE, wanted, workers=1)
    assert len(result.rows) <= 300
    assert found_by(result) == {("55 1/4 in", "18 1/2 in")}


def test_where_nothing_holds_yet_the_search_goes_on_to_its_end():
    """Few of the 5289 candidates hold, and none of the first half that is looked at."""
    free = (
        Free.read("case.width = 36 in .. 68 in by 1/4 in"),
        Free.read("case.depth = 14 in .. 24 in by 1/4 in"),
    )
    limits = (Limit.read("width = 36 1/2 in"), Limit.read("depth = 14 1/2 in"))
    wanted = asked(*free, limits=limits, most=64, seed=2)
    assert not wanted.whole
    result = search(LOW_CASE, wanted, workers=1)
    assert len(result.rows) == 64
    assert len({row.point for row in result.rows}) == 64


def test_values_that_only_fit_together_are_written_together():
    """Doors that overlap by 47 in do not fit a case that is 48 in wide, and fit one of 90 in."""
    text = add_part(LOW_CASE, Part.DOORS)
    with pytest.raises(KitError):
        build(parse(rewrite(text, {"doors.overlap": "47 in"})))
    design = parse(changed_text(text, {"doors.overlap": "47 in", "case.width": "90 in"}))
    build(design)
    assert design.doors is not None
    assert (design.case.width, design.doors.overlap) == (90 * 25.4, 47 * 25.4)


def test_a_candidate_that_the_kit_fails_on_does_not_end_the_search(monkeypatch):
    real = judging.judge

    def fail(text, *asked):
        if "60 in" in text:
            raise ZeroDivisionError("division by zero")
        return real(text, *asked)

    monkeypatch.setattr(judging, "judge", fail)
    wide = Free.read("case.width = 58 in .. 62 in by 1 in")
    result = search(LOW_CASE, asked(wide), workers=1)
    (row,) = [row for row in result.rows if "please report" in row.answer.refused]
    assert "ZeroDivisionError" in row.answer.refused
    assert result.front


def test_a_limit_of_sag_is_one_of_length():
    """3 mm of the 6 allowed sag more than 1 mm of 1.5, though the latter is nearer its limit."""
    found = [
        finding.judge("sag", board, mm, most, sense=Sense.AT_MOST, unit="mm", why="")
        for board, mm, most in (("top", 3.0, 6.0), ("shelf-1", 1.0, 1.5))
    ]
    answer = checked(known_by_its_boards(build(parse(LOW_CASE))), Report.of(found))
    assert answer.sag is not None
    assert answer.sag[0] == "shelf-1"
    assert not answer.keeps(Limit.read("sag = 2 mm"))
    assert answer.keeps(Limit.read("sag = 3 mm"))


@pytest.mark.parametrize("seed", [pytest.param(1, marks=pytest.mark.slow), 2])
def test_neighbours_lead_to_what_full_enumeration_finds(monkeypatch, seed):
    """One sheet trades width against depth: the best lies on a slope, not in a corner."""
    wide = Free.read("case.width = 58 in .. 74 in by 1 in")
    deep = Free.read("case.depth = 14 in .. 24 in by 1/2 in")
    wanted = asked(wide, deep, seed=seed, most=100)
    whole = search(LOW_CASE, wanted, workers=1)
    assert len(whole.rows) == wanted.size == 357
    monkeypatch.setattr(request, "ENUMERATED", 100)
    some = search(LOW_CASE, wanted, workers=1)
    assert len(some.rows) <= 100
    assert found_by(some) == found_by(whole)


@pytest.mark.slow
@examples(CHANGE)
@given(built())
def test_what_is_said_at_least_is_never_more_than_what_comes_out(made):
    _, casework = made
    try:
        before = known_by_its_boards(casework)
        after = laid_out(
            checked(before, check(casework)), casework, sheet_plan(casework, side_by_side=True)
        )
    except BuildError:
        return  # a random top may be longer than any sheet of its stock
    for measure in Measure:
        value = after.value(measure)
        if value is not None:
            assert before.least(measure) <= value + 1e-6, measure
    for key, count in after.sheets:
        assert before.least(Measure.SHEETS, key) <= count


def test_what_is_not_known_is_never_the_best():
    """A device whose air is not known may be the hottest of all."""

    def air(name: str, celsius: float | None) -> Finding:
        return finding.judge(
            "intake air", name, celsius, 40.0, sense=Sense.AT_MOST, unit="°C", why=""
        )

    done = judge(TO_BUY, Bar())
    known = checked(done, Report((air("player", 30.0), air("receiver", 35.0))))
    assert known.hottest == ("receiver", 35.0)
    blind = checked(done, Report((air("player", 20.0), air("receiver", None))))
    assert blind.hottest is None
    answers = {
        (0,): replace(known, stage=Stage.LAID_OUT),
        (1,): replace(blind, stage=Stage.LAID_OUT),
    }
    two = Free.read("case.depth = 16 in | 17 in")
    coolest = result_of(TO_BUY, asked(two, goals=[Goal.COOLEST]), answers)
    assert [row.verdict for row in coolest.rows] == [Verdict.FRONT, Verdict.UNKNOWN]
    limited = asked(two, limits=(Limit.read("heat = 36 C"),))
    assert {row.point: row.verdict for row in result_of(TO_BUY, limited, answers).rows} == {
        (0,): Verdict.FRONT,
        (1,): Verdict.UNKNOWN,
    }


# --- the same answer, however it is come by -------------------------------------------------


def test_two_workers_find_what_one_finds():
    wanted = asked(WIDE, goals=[Goal.LARGEST, Goal.LEAST_WASTE], seed=5)
    one = search(LOW_CASE, wanted, workers=1)
    assert verdicts(search(LOW_CASE, wanted, workers=1)) == verdicts(one)
    assert verdicts(search(LOW_CASE, wanted, workers=2)) == verdicts(one)


def test_another_seed_looks_elsewhere_and_finds_the_same():
    one, other = (search(LOW_CASE, asked(WIDE, seed=seed), workers=1) for seed in (1, 2))
    assert found_by(one) == found_by(other)


@pytest.mark.slow
def test_a_dask_cluster_finds_what_one_worker_finds():
    try:
        from distributed import LocalCluster
    except ImportError:
        missing("dask[distributed]")
    wanted = asked(WIDE, goals=[Goal.LARGEST, Goal.LEAST_WASTE])
    here = search(LOW_CASE, wanted, workers=1)
    with (
        LocalCluster(
            n_workers=2,
            threads_per_worker=1,
            processes=True,
            host=LOOPBACK,
            dashboard_address=None,
        ) as cluster,
        on_cluster(cluster.scheduler_address),
    ):
        there = search(LOW_CASE, wanted)
    assert verdicts(there) == verdicts(here)


@pytest.fixture
def judged(monkeypatch) -> list[object]:
    """The changes that are judged in this process, as they come."""
    told: list[object] = []
    judge_change = run.judge_change

    def count(text, changes, bar, known=None):
        told.append((tuple(changes.items()), known and known.stage))
        return judge_change(text, changes, bar, known)

    monkeypatch.setattr(run, "judge_change", count)
    return told


def test_a_search_that_was_stopped_goes_on_and_judges_nothing_twice(tmp_path, judged):
    wanted = asked(WIDE, goals=[Goal.LARGEST, Goal.LEAST_WASTE])
    whole = search(LOW_CASE, wanted, workers=1)
    alone = len(judged)
    judged.clear()
    kept = tmp_path / "answers.jsonl"
    with pytest.raises(CancelledError, match="goes on"):
        search(LOW_CASE, wanted, workers=1, answers=kept, cancelled=lambda: len(judged) >= 20)
    assert len(judged) == 20
    lost = judged[-1][0]
    with kept.open("r+", encoding="utf-8") as file:  # as a kill in the midst of a line leaves it
        lines = file.read().splitlines(keepends=True)
        file.seek(0)
        file.write("".join(lines[:-1]) + lines[-1][:40])
        file.truncate()
    again = search(LOW_CASE, wanted, workers=1, answers=kept)
    assert verdicts(again) == verdicts(whole)
    best = {tuple(row.changes.items()) for row in whole.front}
    twice = {asked for asked, _ in judged if [told for told, _ in judged].count(asked) > 1}
    assert twice <= best | {lost}  # no file is believed what is best
    assert alone + 1 <= len(judged) <= alone + 1 + len(best)  # and the one that was lost
    judged.clear()
    assert verdicts(search(LOW_CASE, wanted, workers=1, answers=kept)) == verdicts(whole)
    assert {asked for asked, _ in judged} == best
    # comments and title block change no board, and the depth does
    judged.clear()
    search("# mine\n" + LOW_CASE, wanted, workers=1, answers=kept)
    assert {asked for asked, _ in judged} == best
    search(rewrite(LOW_CASE, {"case.depth": "17 in"}), wanted, workers=1, answers=kept)
    assert len(judged) >= 20


@pytest.mark.slow
def test_a_search_that_was_killed_goes_on(tmp_path, judged):
    file, out = tmp_path / "low.toml", tmp_path / "out"
    file.write_text(LOW_CASE)
    spans = ("case.width = 50 in .. 74 in by 1 in", "case.depth = 14 in .. 24 in by 2 in")
    command = [sys.executable, "-m", "kit", "search", str(file), "--out", str(out), "--all"]
    for span in spans:
        command += ["--free", span]
    command += ["--goal", "largest", "--workers", "1"]
    kept = out / "answers.jsonl"
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
        until = time.monotonic() + 60
        while time.monotonic() < until and process.poll() is None:
            if kept.exists() and kept.read_bytes().count(b"\n") >= 30:
                break
            time.sleep(0.02)
        process.send_signal(signal.SIGKILL)
    assert process.returncode == -signal.SIGKILL
    done = kept.read_bytes().count(b"\n")
    wanted = asked(*map(Free.read, spans), depth=Depth.ALL)
    result = search(LOW_CASE, wanted, workers=1, answers=kept)
    best = {tuple(row.changes.items()) for row in result.front}
    told = [changes for changes, _ in judged]
    assert len(set(told) - best) <= len(result.rows) - done <= len(told)
    assert len(told) <= len(result.rows) - done + len(best)
    assert {asked for asked in told if told.count(asked) > 1} == set()


@pytest.mark.slow
@pytest.mark.parametrize(
    "lie",
    [
        {"size_m3": 99.0},
        {"size_m3": 99.0, "stage": 3, "refused": "", "tally": [0, 0, 0, 9], "failing": []},
        {"waste_percent": 0.0, "stage": 3, "refused": "", "tally": [0, 0, 0, 9], "failing": []},
    ],
)
def test_what_a_file_calls_best_is_judged_anew(tmp_path, lie):
    """Of every answer, or of the worst alone: what it says falsely is found out at the end."""
    kept = tmp_path / "answers.jsonl"
    wanted = asked(WIDE, goals=[Goal.LARGEST, Goal.LEAST_WASTE])
    honest = search(LOW_CASE, wanted, workers=1, answers=kept)

    def best(result):
        return [(row.number, row.point, row.answer) for row in result.front]

    lines = [json.loads(line) for line in kept.read_text().splitlines()]
    for number in (len(lines) - 1, 0):
        lines[number]["answer"] |= lie
        kept.write_text("".join(json.dumps(line) + "\n" for line in lines))
        found = search(LOW_CASE, wanted, workers=1, answers=kept)
        assert best(found) == best(honest)


def test_more_is_asked_of_an_answer_without_what_is_known_already(tmp_path, judged):
    """Answers do not follow goals and limits: another search goes on where this one stopped."""
    kept = tmp_path / "answers.jsonl"
    search(LOW_CASE, asked(WIDE), workers=1, answers=kept)
    judged.clear()
    found = search(LOW_CASE, asked(WIDE, depth=Depth.ALL), workers=1, answers=kept)
    anew = [one for one, stage in judged if stage is None]
    assert len(anew) < len(judged)
    assert len(anew) <= len(found.front)  # what a file calls best is judged from the beginning


def test_workers_stop_when_asked(tmp_path):
    kept = tmp_path / "answers.jsonl"
    told: list[run.Progress] = []

    def stop() -> bool:
        return len(told) >= 5

    with warnings.catch_warnings():
        warnings.simplefilter("error")
        with pytest.raises(CancelledError):
            search(
                LOW_CASE,
                asked(WIDE, DEEP),
                workers=2,
                answers=kept,
                progress=told.append,
                cancelled=stop,
            )
    assert [now.done for now in told] == [1, 2, 3, 4, 5]
    assert len(kept.read_text().splitlines()) >= 5


def test_the_answers_are_in_a_place_that_can_be_written(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(KitError, match="cannot be written"):
        search(LOW_CASE, asked(WIDE), workers=1, answers=tmp_path / "file" / "answers.jsonl")


# --- rows that can be opened ------------------------------------------------------------------


def test_a_row_is_a_design_with_its_bays_in_proportion_and_its_comments():
    result = search(LOW_CASE, asked(WIDE), workers=1)
    (row,) = result.front
    text = result.design_text(row)
    assert "# the low case of the reading corner" in text
    was, now = build(parse(LOW_CASE)), build(parse(text))
    assert now.design.case.width == pytest.approx(WIDE.lengths[row.point[0]])
    shares = [bay.clear.size[0] / sum(b.clear.size[0] for b in was.bays) for bay in was.bays]
    for bay, share in zip(now.bays, shares, strict=True):
        wanted = share * sum(b.clear.size[0] for b in now.bays)
        assert bay.clear.size[0] == pytest.approx(wanted, abs=25.4 / 16)
    assert row.answer.mass_kg == pytest.approx(now.mass_kg)
    assert row.answer.counts[Status.OK] == len(check(now).having(Status.OK))


def test_the_table_says_every_number_with_its_unit():
    result = search(LOW_CASE, asked(WIDE, goals=[Goal.LARGEST, Goal.CHEAPEST]), workers=1)
    rows = result.table(result.rows)
    assert len({tuple(row) for row in rows}) == 1
    first = rows[0]
    assert first["W x D x H"].endswith(" in x 16 in x 16 in")
    assert first["mass"].endswith(" kg")
    assert first["cost"].endswith(" USD")
    assert first["sheets"] == "1 walnut-ply-3/4"
    assert "% of its limit" in first["worst sag"]
    assert first["fail"] == "0"
    lines = to_text(rows).splitlines()
    assert len(lines) == len(rows) + 1
    assert lines[1].startswith("1    best")


def test_the_picture_is_the_same_every_time_and_marks_by_shape():
    goals = [Goal.LARGEST, Goal.LEAST_WASTE]
    wide = Free.read("case.width = 40 in .. 90 in by 10 in")
    result = search(TO_BUY, asked(wide, DEEP, goals=goals), workers=1)
    picture = trade_offs_svg(result)
    assert picture == trade_offs_svg(result)
    assert "<dc:date>" not in picture
    assert f"best ({len(result.front)})" in picture
    for axis in ("size of the case, m³", "waste of the sheets, %"):
        assert axis in picture
    alone = trade_offs_svg(search(LOW_CASE, asked(WIDE), workers=1))
    assert "case.width, in" in alone
    choice = asked(Free.read("case.corner = dado | rabbet"), goals=[Goal.LIGHTEST])
    assert "rabbet" in trade_offs_svg(search(TO_BUY, choice, workers=1))


@pytest.mark.slow
def test_the_largest_console_from_two_sheets_is_laid_out_verified_and_built():
    from kit import solid

    on_hand = example_text() + '\n[[sheet]]\nstock = "walnut-ply-3/4"\ncount = 2\n'
    free = (
        Free.read("case.width = 86 in .. 94 in by 4 in"),
        Free.read("case.depth = 21 in .. 23 in by 1 in"),
    )
    result = search(on_hand, asked(*free), workers=2)
    (row,) = result.front
    assert any(r.answer.size_m3 > row.answer.size_m3 for r in result.rows)  # sheets are the limit
    casework = build(parse(result.design_text(row)))
    assert not check(casework).failed
    plan = sheet_plan(casework, side_by_side=True)
    for one in plan.sheets:
        pieces = [part.piece for part in one.parts]
        there = sheets_there(casework, one.stock)
        assert layout_problems(one.layout, pieces, there, one.layout.kerf_mm) == ()
    assert plan.bought["walnut-ply-3/4"] == 2
    assert solid.interference(casework.boards) == ()
    for board in casework.boards:
        assert solid.solid(board).Volume() == pytest.approx(board.volume_mm3, rel=1e-6)


# --- what if ----------------------------------------------------------------------------------


def test_what_if_holds_variants_side_by_side():
    sets = ["deeper: case.depth = 20 in", "two of it: case.width = 60 in; case.depth = 18 in"]
    variants = variants_of(TO_BUY, sets)
    rows = what_if(variants)
    assert [row.name for row in rows] == ["as drawn", "deeper", "two of it"]
    for row in rows:
        casework = build(parse(row.text))
        assert row.answer.mass_kg == casework.mass_kg
        assert row.answer.sheets == tuple(
            (one.stock.key, one.layout.full_sheets)
            for one in sheet_plan(casework, side_by_side=True).sheets
        )
        assert row.answer == judge(row.text, Bar())
    assert rows[0].answer.mass_kg < rows[1].answer.mass_kg
    table = what_if_table(rows)
    assert [line["variant"] for line in table] == [row.name for row in rows]
    assert table[1]["W x D x H"] == "48 in x 20 in x 16 in"


def test_a_variant_that_fails_is_laid_out_all_the_same():
    failing = example_text().replace('top_depth = "5/16 in"', 'top_depth = "1/8 in"')
    (row,) = what_if({"as drawn": failing})
    assert "doors stay in" in row.answer.failing
    assert row.answer.stage is Stage.LAID_OUT
    assert row.answer.sheets


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("case.depth = 23 in", "a name of its own"),
        ("as drawn: case.depth = 23 in", "a name of its own"),
        ("deeper: case.depth", "cannot be read"),
        ("deeper: case.dpeth = 23 in", "deeper.*dpeth"),
        ("thin: case.depth = 1 in", "thin.*deeper"),
        ("same:", "same.*no value"),
        ("two: case.depth = 20 in; case.depth = 22 in", "two.*twice"),
    ],
)
def test_a_variant_that_cannot_be_read_is_told_in_a_sentence(words, says):
    with pytest.raises(KitError, match=says):
        variants_of(LOW_CASE, [words])


# --- the command line -------------------------------------------------------------------------


def test_the_command_writes_designs_table_and_picture(tmp_path, capsys):
    file, out = tmp_path / "low.toml", tmp_path / "out"
    file.write_text(LOW_CASE)
    command = ["search", str(file), "--free", "case.width = 58 in .. 74 in by 2 in"]
    command += ["--goal", "largest", "--goal", "least-waste", "--limit", "height = 20 in"]
    command += ["--out", str(out), "--workers", "1"]
    assert main(command) == 0
    said = capsys.readouterr()
    assert "01.toml" in said.out
    assert "judged" in said.err
    rows = list(csv.DictReader(io.StringIO((out / "found.csv").read_text())))
    assert len(rows) == 9
    named = [row for row in rows if row["file"]]
    assert {row["verdict"] for row in named} == {"best"}
    for row in named:
        assert main(["check", str(out / row["file"])]) == 0
        assert row["W x D x H"] in capsys.readouterr().out.replace(" (W x D x H)", "")
    assert (out / "trade-offs.svg").read_text().startswith("<?xml")
    assert all(json.loads(line) for line in (out / "answers.jsonl").read_text().splitlines())
    assert os.listdir(out)
    none = [*command, "--limit", "mass = 1 kg"]
    assert main(none) == 1


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["--goal", "largest"], "one free parameter"),
        (["--free", "case.width = 58 in .. 74 in by 2 in", "--goal", "best"], "no goal"),
        (["--free", "case.corner = dado | dado", "--goal", "largest"], "twice"),
        (["--free", "case.corner = dado | butt", "--goal", "largest", "--seed", "-1"], "seed"),
        (["--free", "case.corner = dado | butt", "--goal", "largest", "--most", "0"], "at least"),
        (["--free", "case.stock = walnut-ply-3/4 | oak", "--goal", "largest"], "case.stock: There"),
        (["--free", "case.corner = dado | butt", "--goal", "largest", "--workers", "0"], "workers"),
        (["--free", "case.corner = dado | butt", "--goal", "largest", "--workers=-2"], "workers"),
    ],
)
def test_the_command_tells_what_is_wrong_in_a_sentence(tmp_path, capsys, arguments, says):
    file = tmp_path / "low.toml"
    file.write_text(LOW_CASE)
    assert main(["search", str(file), "--out", str(tmp_path / "out"), *arguments]) == 2
    told = [line for line in capsys.readouterr().err.splitlines() if not line.endswith(" ...")]
    assert len(told) == 1
    assert says in told[0]
    assert not list(tmp_path.glob("out/*"))


def test_a_stock_that_no_table_knows_is_no_limit():
    with pytest.raises(KitError, match="walnut-ply-3/8"):
        Limit.read("sheets.walnut-ply-3/8 = 2")


SMALL = ["--free", "case.width = 58 in .. 60 in by 2 in", "--goal", "largest", "--workers", "1"]


def test_where_nothing_holds_the_command_says_what_is_in_the_way(tmp_path, capsys):
    file, out = tmp_path / "low.toml", tmp_path / "out"
    file.write_text(LOW_CASE)
    command = ["search", str(file), "--out", str(out), *SMALL]
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert main([*command, "--limit", "mass = 1 kg", "--limit", "height = 20 in"]) == 1
        said = capsys.readouterr().out
        assert "In the way:\n- 2 of 2: the limit of mass is passed\n2 over a limit\n" in said
        far = ["--free", "case.height = 70 in .. 72 in by 2 in", "--goal", "largest"]
        assert main(["search", str(file), "--out", str(out), *far, "--workers", "1"]) == 1
    said = capsys.readouterr().out
    assert "- 2 of 2: The sheets on hand do not hold all boards" in said
    assert "none of the candidates can be shown" in (out / "trade-offs.svg").read_text()


def test_designs_of_an_earlier_search_are_told_from_these(tmp_path, capsys):
    file, out = tmp_path / "low.toml", tmp_path / "out"
    file.write_text(LOW_CASE)
    out.mkdir()
    (out / "07.toml").write_text("mine")
    command = ["search", str(file), "--out", str(out), *SMALL]
    assert main(command) == 0
    assert "There besides, not of this search: 07.toml\n" in capsys.readouterr().out
    assert (out / "07.toml").read_text() == "mine"
    command[3] = str(file)
    assert main(command) == 2
    assert "is not a folder" in capsys.readouterr().err


def test_a_stopped_search_says_that_it_can_go_on(tmp_path, capsys, monkeypatch):
    file, out = tmp_path / "low.toml", tmp_path / "out"
    file.write_text(LOW_CASE)

    def stopped(*asked, progress, **options):
        def stop(now):
            raise KeyboardInterrupt

        return search(*asked, progress=stop, **options)

    monkeypatch.setattr("kit.search.search", stopped)
    assert main(["search", str(file), "--out", str(out), *SMALL]) == 130
    told = capsys.readouterr().err
    assert f"stopped; {out / 'answers.jsonl'} keeps what was judged" in told
    assert "nothing was changed" not in told
    monkeypatch.undo()
    assert main(["search", str(file), "--out", str(out), *SMALL]) == 0


def test_what_if_prints_a_table(tmp_path, capsys):
    file = tmp_path / "low.toml"
    file.write_text(TO_BUY)
    assert main(["what-if", str(file), "--set", "deeper: case.depth = 20 in"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("variant")
    assert [line.split("  ")[0] for line in lines[1:]] == ["as drawn", "deeper"]
    assert main(["what-if", str(file), "--set", "deep: case.depth = 20 in", "--csv"]) == 0
    assert capsys.readouterr().out.startswith("variant,W x D x H,")
