"""Fixtures that many tests share."""

import copy
import os
import tomllib
from collections.abc import Callable
from typing import Any

import pytest

from kit.casework import Casework, build
from kit.design_file import example_text, from_data

#: Files whose tests take longest. Two processes share the files out in their order: a long one
#: that comes last keeps one process waiting.
LONGEST = (
    "browser/",
    "test_wheel.py",
    "test_faults_of_minutes.py",
    "test_documents_long.py",
    "test_fixes.py",
    "test_plan_pack.py",
    "test_design_desk.py",
    "test_way_in.py",
    "60-the-plan-pack.ipynb",
    "90-the-best-from-these-sheets.ipynb",
    "test_part_drawings.py",
)
#: What takes long and says little that the others do not: it runs before anything lands.
BEFORE_LANDING = (
    "browser/test_desk_by_hand.py::test_it_works_by_keyboard_and_fits",
    "browser/test_desk_by_hand.py::test_saved_and_loaded_it_is_the_same_and_the_plan_is_written",
    "browser/test_desk_by_hand.py::test_what_was_saved_is_there_without_a_kernel",
    "browser/test_first_console.py",
    "browser/test_live_view.py",
    "browser/test_app_alone.py",
    "browser/test_open.py",
    "outside/test_rectpack.py::test_never_more_sheets_than_rectpack[0.1-24]",
    "test_airflow.py::test_mass_and_heat_balance_on_any_console",
    "test_audit.py",
    "test_command_line.py::test_open_serves_the_desk_until_it_is_interrupted",
    "test_command_line.py::test_stopping_a_plan_leaves_nothing_behind[manifest]",
    "test_command_line.py::test_stopping_a_plan_leaves_nothing_behind[solids]",
    "test_design_desk.py::test_a_pack_is_written_beside_the_desk_and_can_be_stopped",
    "test_design_desk.py::test_nothing_grows_over_many_changes",
    "test_documents_long.py",
    "test_dxf.py::test_boards_of_random_designs_are_what_their_files_tell",
    "test_faults_of_minutes.py",
    "test_fixes.py::test_a_fix_cures_and_harms_nothing_else",
    "test_fixes.py::test_two_changes_cure_what_the_first_of_them_does_not[free at the sides",
    "test_fixes.py::test_none_is_proved_as_an_enumeration_of_its_own_has_it",
    "test_hostile.py::test_a_name_is_a_name_in_every_output",
    "test_layout.py::test_known_optima_are_found",
    "test_layout.py::test_tight_jobs_are_mostly_found_at_once",
    "test_limits.py::test_each_limit_is_answered_within_the_bounds",
    "test_limits.py::test_long_numbers_and_names_are_answered_within_the_bounds",
    "test_limits.py::test_what_an_attack_sent_is_answered_within_the_bounds",
    "test_measure.py::test_random_boards_measure_what_their_cuts_say",
    "test_model_files.py::test_another_run_of_the_program_writes_the_same_bytes",
    "test_model_files.py::test_many_files_written_before_leave_no_trace",
    "test_model_files.py::test_no_name_of_a_maker_breaks_a_model",
    "test_part_drawings.py::test_printed_stations_read_back_to_the_place_within_half_a_tick",
    "test_part_drawings.py::test_words_touch_neither_words_nor_lines_and_keep_to_the_page",
    "test_plan_pack.py::test_a_run_that_fails_leaves_the_earlier_pack",
    "test_plan_pack.py::test_a_run_that_is_stopped_leaves_the_earlier_pack",
    "test_plan_pack.py::test_a_thickness_that_nobody_measured_keeps_a_pack_a_draft",
    "test_plan_pack.py::test_the_paper_goes_by_the_units_unless_one_is_asked_for[asked1",
    "test_plan_pack.py::test_the_same_design_gives_the_same_files_in_a_thread",
    "test_plan_pdf.py::test_a_finding_that_fails_comes_first_and_says_what_is_missing",
    "test_plan_pdf.py::test_names_are_printed_as_they_are_written",
    "test_plan_pdf.py::test_no_word_of_a_page_leaves_the_frame_or_runs_into_the_strip",
    "test_plan_pdf.py::test_words_from_right_to_left_are_printed",
    "test_properties.py::test_the_strategy_reaches_everything",
    "test_release.py::test_random_designs_pass_their_own_gate",
    "test_search.py::test_a_dask_cluster_finds_what_one_worker_finds",
    "test_search.py::test_a_search_that_was_killed_goes_on",
    "test_search.py::test_neighbours_lead_to_what_full_enumeration_finds[1]",
    "test_search.py::test_the_largest_console_from_two_sheets_is_laid_out_verified_and_built",
    "test_search.py::test_what_a_file_calls_best_is_judged_anew[lie0]",
    "test_search.py::test_what_a_file_calls_best_is_judged_anew[lie1]",
    "test_search.py::test_what_is_said_at_least_is_never_more_than_what_comes_out",
    "test_strange_folder.py::test_every_command_runs_no_code_of_a_strange_folder",
    "test_strange_folder.py::test_jupyterlab",
    "test_strange_folder.py::test_the_app",
    "test_templates.py::test_any_design",
    "test_views.py::test_words_touch_neither_words_nor_lines_and_keep_to_the_page",
    "test_way_in.py::test_the_way_in_is_that_of_the_solids",
    "test_way_in.py::test_the_windows_are_those_of_the_solid_doors",
    "test_wheel.py",
)


def pytest_addoption(parser: pytest.Parser) -> None:
    """Let a developer ask for the whole."""
    words = "run the tests of minutes, too, as where the environment variable CI is set"
    parser.addoption("--long", action="store_true", help=words)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Begin with what takes longest, and leave out what takes minutes unless it is asked for."""

    def place(item: pytest.Item, parts: tuple[str, ...]) -> int:
        return next((n for n, part in enumerate(parts) if part in item.nodeid), len(parts))

    items.sort(key=lambda item: place(item, LONGEST))
    if not (config.getoption("--long") or os.environ.get("CI")):
        skip = pytest.mark.skip(reason="takes long: it runs with --long, and where CI is set")
        for item in items:
            if place(item, BEFORE_LANDING) < len(BEFORE_LANDING):
                item.add_marker(skip)


@pytest.fixture(scope="session")
def example() -> Casework:
    """The built-in example, built."""
    return build(from_data(tomllib.loads(example_text())))


@pytest.fixture
def example_data() -> dict[str, Any]:
    """The built-in example as plain values, free to change."""
    return copy.deepcopy(tomllib.loads(example_text()))


@pytest.fixture
def rebuilt(example_data: dict[str, Any]) -> Callable[[dict[str, Any]], Casework]:
    """Builds the example with some values changed: {"doors.top_depth": "9 mm"}."""

    def rebuild(changes: dict[str, Any]) -> Casework:
        for path, value in changes.items():
            *parents, last = path.split(".")
            table: Any = example_data
            for step in parents:
                table = table[int(step) - 1] if step.isdigit() else table.setdefault(step, {})
            if last.isdigit():
                table[int(last) - 1] = value
            elif value is None:
                table.pop(last, None)
            else:
                table[last] = value
        _cables_of_what_is_there(example_data)
        return build(from_data(example_data))

    return rebuild


def _cables_of_what_is_there(data: dict[str, Any]) -> None:
    """Take away the cables of devices that a test took away: the kit refuses loose ends."""
    ends = {item["name"] for item in data.get("gear", [])} | {"screen", "outlet"}
    named = {end for cable in data.get("cable", []) for end in (cable["from"], cable["to"])}
    of_example = {item["name"] for item in tomllib.loads(example_text())["gear"]} | {"screen"}
    gone = (named & of_example) - ends
    if "screen" not in data:
        gone.add("screen")
    if gone:
        data["cable"] = [c for c in data["cable"] if not gone & {c["from"], c["to"]}]
