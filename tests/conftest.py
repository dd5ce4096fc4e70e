"""Makes `tests/strategies.py` importable by name under importlib mode; leaves the longest tests for whoever asks."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parent.parent))

settings.register_profile("house", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("house")

LONG = (
    "test_resuming.py::test_a_broken_",
    "test_resuming.py::test_a_killed_command_goes_on[explain]",
    "test_resuming.py::test_a_part_that_was_altered",
    "test_resuming.py::test_an_answer_that_does_not_fit",
    "test_resuming.py::test_parts_of_another_design",
    "test_resuming.py::test_what_is_kept_of_one_change",
    "test_beside.py::test_a_process_that_gives_no_answer",
    "test_beside.py::test_what_the_design_alone_says",
    "test_spanish.py::test_no_words_of_a_spanish_figure_cross[seed-bank]",
    "test_spanish.py::test_the_first_page_is_one_page_in_spanish_too[us-letter]",
    "test_settle.py::test_files_repeat",
    "test_settle.py::test_what_is_stated_is_asked_together",
    "test_running.py::test_closed_streams[</dev/null",
    "test_running.py::test_closed_streams[2>&-",
    "test_running.py::test_letters_the_output_cannot_take",
    "test_guide.py::test_every_command_and_all_code_of_a_page_runs[foreman]",
    "test_guide.py::test_every_command_and_all_code_of_a_page_runs[builder]",
    "test_block_cases.py::test_the_same_cases_and_walls_as_the_block_model_asks[a set of partial",
    "test_chance.py::test_a_study_is_said_and_written",
    "test_cluster.py::test_a_cluster_lost_in_mid_run",
    "test_same_bytes.py::test_the_wheel_writes_the_same",
    "test_choose.py::test_pairs_meet_and_need_both_parts",
    "test_scaffold.py::test_a_change_that_is_named_is_asked_with_that_person",
    "test_block_cases.py::test_the_same_cases_and_walls_as_the_block_model_asks[earth, a skylight, every load, partial",
    "test_running.py::test_a_read_only_install",
    "test_running.py::test_a_full_output_is_no_verdict[tokens2",
    "test_running.py::test_a_full_output_is_no_verdict[tokens3",
    "test_running.py::test_closed_streams[>/dev/full",
    "test_guide.py::test_every_command_and_all_code_of_a_page_runs[engineer]",
    "test_guide.py::test_every_command_and_all_code_of_a_page_runs[several]",
    "test_guide.py::test_every_command_and_all_code_of_a_page_runs[tutorial]",
    "test_survey_browser.py::test_a_phone_is_answered_with_the_files",
    "test_strength_aside.py::test_explain_says_it_too",
    "views/test_survey.py::test_low_courses_are_corrected",
    "test_unearned.py::test_no_base_meets[a person on the crown]",
    "test_asked.py::test_every_row_is_asked_where_it_says_and_nowhere_else[earth, a skylight, every load, partial",
    "test_asked.py::test_every_row_is_asked_where_it_says_and_nowhere_else[a porch vault that may lift, every load",
    "test_validation.py::test_every_comparison_agrees_or_says_what_it_means_that_it_does_not[second_block_programme]",
    "test_validation.py::test_every_comparison_agrees_or_says_what_it_means_that_it_does_not[second_block_rain]",
    "test_validation.py::test_every_comparison_agrees_or_says_what_it_means_that_it_does_not[lunes]",
    "test_validation.py::test_every_comparison_agrees_or_says_what_it_means_that_it_does_not[turned_domes]",
    "test_guide.py::test_walk_of_the_engineer",
    "test_guide.py::test_walk_of_the_designer_of_several_domes",
    "test_guide.py::test_walk_of_the_foreman",
    "test_validation.py::test_every_comparison_agrees_or_says_what_it_means_that_it_does_not[second_block_loads]",
    "test_validation.py::test_every_comparison_agrees_or_says_what_it_means_that_it_does_not[slow_push]",
    "test_validation.py::test_every_comparison_agrees_or_says_what_it_means_that_it_does_not[laying_tipping]",
    "test_scaffold.py::test_what_is_found_of_the_tool_store_without_its_scaffold",
    "test_scaffold.py::test_no_height_is_enough_for_a_hall_of_untested_fill",
    "test_spanish_studies.py::test_what_choose_says_is_spanish",
    "test_spanish_studies.py::test_compare_writes_the_same_data_in_every_language",
    "test_spanish_studies.py::test_explain_writes_the_same_data_in_every_language",
    "test_spanish_numbers.py::test_only_the_drawing_is_in_another_language[shake",
    "test_spanish_numbers.py::test_chance_writes_the_same_data_in_every_language",
    "test_spanish_numbers.py::test_what_shake_says_is_spanish",
    "test_spanish_page.py::test_the_whole_check_writes_the_same_data_and_the_report_in_spanish",
    "test_spanish.py::test_no_sentence_of_the_report_or_the_screen_is_left_in_english[slender-hall]",
    "test_spanish.py::test_programs_read_the_same_in_every_language",
    "test_layout.py::test_large_print_leaves_no_page_mostly_empty[es]",
    "test_worked_examples.py::test_the_scripts_say_what_they_show[which_tube.py]",
    "test_same_bytes.py::test_workers_write_the_same",
    "test_explain.py::test_the_command_writes_three_files_twice_the_same",
    "test_earth_on_one_side.py::test_the_checker_demands_what_the_program_asks[more1-EN 1990]",
    "test_map.py::test_its_points_are_those_of_compare[store]",
    "test_sheets.py::test_every_file_of_a_check_is_known_again_as_ours[imperial]",
    "test_survey_drawings.py::test_every_page_of_a_survey_has_its_picture_and_there_are_two[2-en]",
    "test_block_cases.py::test_the_same_cases_and_walls_as_the_block_model_asks[a skylight, every load, partial",
    "test_block_cases.py::test_the_same_cases_and_walls_as_the_block_model_asks[a porch vault that may lift",
    "test_asked.py::test_every_row_is_asked_where_it_says_and_nowhere_else[a skylight, every load, partial",
    "test_ifc.py::test_the_library_finds_no_fault_in_it[open]",
    "test_rained.py::test_rings_in_the_rain_hold_as_blocks_what_they_hold_as_rings[0.7 MPa-0.62]",
    "test_beside.py::test_a_process_that_was_ended_is_made_good_here[ended while it waits]",
)
"""Minutes together: skipped, and said to be, unless SHELLCHECK_EARTH_LONG is set. Run them before a release."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    if os.environ.get("SHELLCHECK_EARTH_LONG"):
        return
    for item in items:
        if any(part in item.nodeid for part in LONG):
            item.add_marker(pytest.mark.skip(reason="long: set SHELLCHECK_EARTH_LONG=1"))
