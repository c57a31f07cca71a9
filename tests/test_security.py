"""The README's Security section, sentence by sentence: each with the tests that hold it."""

import ast
import asyncio
import re

import pytest
from documents import ROOT, text_of
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado.web import HTTPError

from kit.notebook.launch.app import KEPT_S, LOOKED_AFTER_S, MOST_DESKS, DeskKernels

#: How each sentence begins, and what fails where it is no longer true. A sentence that only tells
#: the maker what to do has none.
HELD: dict[str, tuple[str, ...]] = {
    "A design file is data": ("test_hostile.py::test_a_name_is_a_name_in_every_output",),
    "It may come from a stranger": ("test_hostile.py::test_absurd_texts_are_refused_at_once",),
    "Names in it are printed as they stand": (
        "test_hostile.py::test_a_name_is_a_name_in_every_output",
        "test_plan_pdf.py::test_names_are_printed_as_they_are_written",
        "test_model_files.py::test_no_name_of_a_maker_breaks_a_model",
        "test_plain_text.py::test_no_cell_starts_a_formula_wherever_cells_are_parted",
        "test_hostile.py::test_negative_lengths_stay_as_they_are",
    ),
    "What the commands print holds no escape": (
        "test_plain_text.py::test_no_escape_reaches_a_terminal",
        "test_plain_text.py::test_neither_does_what_the_command_line_is_refused_for",
        "test_plain_text.py::test_a_program_that_fails_says_so_plainly",
    ),
    "Nothing is run that lies beside a design": (
        "test_strange_folder.py::test_every_command_runs_no_code_of_a_strange_folder",
        "test_strange_folder.py::test_the_packing_children_run_no_code_of_a_strange_folder",
        "test_strange_folder.py::test_workers_of_the_search_run_no_code_of_a_strange_folder",
        "test_strange_folder.py::test_the_app_runs_no_code_of_a_strange_folder",
        "test_strange_folder.py::test_jupyterlab_runs_no_code_of_a_strange_folder",
        "test_strange_folder.py::test_the_library_of_dxf_reads_no_settings_of_the_folder",
        "test_plots.py::test_a_file_of_settings_in_the_folder_changes_no_plot",
    ),
    "Start the kit by its command": (),
    "A file may have 2 MB": (
        "test_hostile.py::test_a_file_is_read_up_to_its_bound_and_no_further",
        "test_limits.py::test_long_numbers_and_names_are_answered_within_the_bounds",
        "test_limits.py::test_a_back_full_of_holes_is_refused_before_anything_is_made",
        "test_hostile.py::test_more_holes_than_a_piece_can_have_are_refused_before_they_are_made",
        "test_hostile.py::test_more_boards_than_a_piece_can_have_are_refused",
        "test_hostile.py::test_what_is_no_file_is_not_waited_for",
    ),
    "The kit writes where it is told to": (
        "test_faults_of_minutes.py::test_a_plan_writes_nowhere_else_and_asks_nobody",
        "test_faults_of_minutes.py::test_a_pack_is_there_at_every_moment_of_a_swap",
    ),
    "It saves a design file through a link": (
        "test_hostile.py::test_a_save_through_a_link_writes_what_the_link_names",
        "test_faults.py::test_a_write_protected_file_is_left_alone",
    ),
    "It replaces a folder only when": (
        "test_nothing_lost.py::test_whatever_no_pack_wrote_is_named_and_kept",
        "test_nothing_lost.py::test_what_file_managers_leave_is_in_nobodys_way",
        "test_nothing_lost.py::test_a_file_of_a_pack_that_was_edited_is_named_and_kept",
        "test_nothing_lost.py::test_no_manifest_makes_another_file_a_packs",
    ),
    "`kit search` follows no link": (
        "test_nothing_lost.py::test_a_search_follows_no_link_to_a_folder",
        "test_nothing_lost.py::test_a_search_neither_replaces_nor_follows_what_is_not_its_own",
    ),
    "The desk asks before it replaces": (
        "test_nothing_lost.py::test_after_load_and_undo_a_save_goes_to_its_own_file",
        "test_nothing_lost.py::test_of_two_desks_on_one_file_the_second_asks",
        "test_nothing_lost.py::test_the_desk_asks_anew_after_another_step",
    ),
    "The answers of a search": (
        "test_search.py::test_what_a_file_calls_best_is_judged_anew",
        "test_plain_text.py::test_a_line_that_no_search_has_written_is_passed_over",
    ),
    "A process that is killed": (
        "test_faults_of_minutes.py::test_what_is_killed_leaves_the_old_files_or_the_new_ones",
        "test_faults_of_minutes.py::test_a_plan_on_a_full_disk_leaves_the_old_pack",
        "test_faults.py::test_a_save_that_is_killed_leaves_the_old_file_or_the_new_one",
    ),
    "`kit check`, `plan` and the other commands open nothing": (
        "test_faults_of_minutes.py::test_a_plan_writes_nowhere_else_and_asks_nobody",
    ),
    "`kit open` starts JupyterLab": (
        "browser/test_open.py::test_jupyterlab_opens_on_the_desk_of_the_design_file",
        "browser/test_open.py::test_the_desk_is_an_app_by_voila",
    ),
    "Both listen on the loopback": (
        "browser/test_app_alone.py::test_a_browser_without_the_token_is_asked_for_it",
        "browser/test_app_alone.py::test_a_page_under_a_name_that_leads_here_gets_nothing",
        "test_strange_folder.py::test_the_app_keeps_its_token_and_its_address_whatever_the_settings_say",
        "test_strange_folder.py::test_jupyterlab_does_not_open_without_a_token",
        "test_command_line.py::test_nothing_that_would_let_others_in_goes_through",
    ),
    "JupyterLab asks nobody": (
        "test_strange_folder.py::test_jupyterlab_runs_no_code_of_a_strange_folder",
    ),
    "The app answers no page of another site": (
        "browser/test_app_alone.py::test_a_page_of_another_site_gets_nothing",
        "browser/test_app_alone.py::test_the_app_is_in_no_frame_and_opens_for_no_other_page",
        "test_design_desk.py::test_an_app_reads_and_writes_design_files_below_its_folder_alone",
        "test_design_desk.py::test_an_app_writes_packs_below_its_folder_alone",
        "test_design_desk.py::test_an_app_does_not_save_through_a_link_that_leads_out",
    ),
    "It has at most four desks open": (
        "test_security.py::test_one_desk_too_many_is_refused",
        "test_security.py::test_a_desk_that_no_page_shows_is_ended",
    ),
    "A notebook is a program": (
        "test_command_line.py::test_a_notebook_that_is_not_the_kits_is_opened_when_it_is_asked_for",
        "test_command_line.py::test_no_notebook_is_written_through_a_link",
        "test_strange_folder.py::test_the_app_runs_no_code_of_a_strange_folder",
    ),
    "If you find a way round": (),
}


def sentences():
    section = text_of("README.md").split("## Security\n")[1].split("\n## ")[0]
    return [
        s for line in section.split("\n\n") for s in re.split(r"(?<=[.]) (?=[A-Z`])", line.strip())
    ]


def test_every_sentence_is_held_by_tests_that_are_there():
    told = sentences()
    for begins in HELD:
        assert sum(sentence.startswith(begins) for sentence in told) == 1, begins
    assert len(told) == len(HELD), [s for s in told if not s.startswith(tuple(HELD))]
    named = {test for tests in HELD.values() for test in tests}
    for test in named:
        file, name = test.split("::")
        tree = ast.parse((ROOT / "tests" / file).read_text(encoding="utf-8"))
        assert name in {n.name for n in tree.body if isinstance(n, ast.FunctionDef)}, test


def test_one_desk_too_many_is_refused(monkeypatch):
    started = []

    async def start(self, **kwargs):
        started.append(kwargs)
        await asyncio.sleep(0)  # others are let in while it starts
        return "a kernel"

    async def all_at_once():
        desks = DeskKernels()
        asked = [desks.start_kernel() for _ in range(MOST_DESKS + 2)]
        return await asyncio.gather(*asked, return_exceptions=True)

    monkeypatch.setattr(AsyncMappingKernelManager, "start_kernel", start)
    answers = asyncio.run(all_at_once())
    assert answers[:MOST_DESKS] == ["a kernel"] * MOST_DESKS
    refused = answers[MOST_DESKS:]
    assert all(isinstance(answer, HTTPError) and answer.status_code == 503 for answer in refused)
    assert len(started) == MOST_DESKS


@pytest.mark.slow
def test_a_desk_that_no_page_shows_is_ended():
    """As in the app, but for the time that it is kept: a second."""

    async def left_alone():
        desks = DeskKernels(cull_idle_timeout=1, cull_interval=1)
        kernel = await desks.start_kernel()
        for _ in range(120):
            if kernel not in desks.list_kernel_ids():
                return True
            await asyncio.sleep(1)
        await desks.shutdown_all()
        return False

    assert asyncio.run(left_alone())
    desks = DeskKernels()
    assert (desks.cull_idle_timeout, desks.cull_interval) == (KEPT_S, LOOKED_AFTER_S) == (300, 30)
