"""The rule book of a tick, sentence by sentence: which test holds it.

The words on the left are on the page; the test on the right runs on both programs, or holds them
against each other. A sentence of the page without an entry is a fault.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "theory" / "simulate.md"

BELTS = "laws/test_closed_forms_belts.py"
GATES = "laws/test_closed_forms_gates.py"
JOINTS = "laws/test_closed_forms_joints.py"
STATIONS = "laws/test_closed_forms_stations.py"
TICK = "simulate/test_reference_tick.py"
PLAIN = "simulate/test_reference.py"
WHOLE = "simulate/test_whole_carriers.py"
HANDS = "simulate/test_full_hands.py"
TROUBLE = "simulate/test_disturbances.py"
STREAMS = "simulate/test_streams.py"
RULES = "simulate/test_rules.py"
MARKS = "simulate/test_treatment.py"
MARKED = "simulate/test_treatment_readings.py"
TWINS = "twins/test_twins.py"
COMPILED = "twins/test_compiled.py"
LINES = "published/test_serial_lines.py"
RANDOM = (TWINS, "they_agree_on_random_plants")
SHAPE = (PLAIN, "state_document_has_the_shape_of_a_state")
WORKS = (PLAIN, "every_device_of_one_of_each_works")

TABLE = (
    ("One tick is the greatest common divisor", PLAIN, "common_tick"),
    ("recipes that stations run", PLAIN, "tick_of_a_plant_counts_recipes_in_use_only"),
    ("steps at the ticks that `P` divides", TICK, "belts_step_at_multiples_of_their_step_time"),
    ("An outage covers the ticks `t`", BELTS, "outage_covers_its_ticks"),
    ("the natural order of names", PLAIN, "natural_order"),
    ("nothing depends on the order", PLAIN, "order_of_devices_in_the_file_changes_nothing"),
    ("belts step downstream first", PLAIN, "belt_order"),
    ("the ring gets one **break**", TICK, "carrier_crosses_the_break_of_a_ring_in_one_step"),
    ("a ring all of whose cells are full does not turn", BELTS, "full_ring_does_not_turn"),
    ("One empty cell is enough", BELTS, "ring_with_one_empty_cell_turns"),
    ("what is on the cell is taken off", TROUBLE, "a_foreign_carrier_takes_the_place"),
    ("before any cycle ends", TROUBLE, "operation_dependent_failures_count_busy_ticks"),
    ("puts the whole units to the outlet", STATIONS, "yield_is_exact"),
    ("A picker that missed is idle", TROUBLE, "a_missed_pick_costs_a_swing"),
    ("now *holding*", STATIONS, "grab_takes_ahead_and_holds"),
    ("as many units as there is room", TICK, "holding_picker_fills_the_room_a_start_has_made"),
    ("room at the outlet for the most", STATIONS, "a_cycle_starts_only_with_room_for_the_most"),
    ("busy until now + cycle", TICK, "a_cycle_starts_in_the_tick_its_last_unit_arrives"),
    ("Room of a station for a material", STATIONS, "commit_never_exceeds_caps"),
    ("Room of a store", STATIONS, "store_fills_to_its_cap"),
    ("slow as a whole leaves out the step", TROUBLE, "every_other_step_halves_the_flow"),
    ("`alternate` tries the outlets in turn", JOINTS, "alternating_divert"),
    ("takes the first with an empty tail", JOINTS, "alternating_divert_passes_a_blocked_outlet"),
    ("`overflow` tries them", JOINTS, "overflow"),
    ("`material` knows one outlet only", JOINTS, "divert_by_material"),
    ("and waits for it", JOINTS, "divert_by_material_waits"),
    ("its own cell is not slow", TROUBLE, "a_cell_that_refuses_everything_holds_all_back"),
    ("everything behind the first gap moves", BELTS, "everything_behind_the_first_gap_moves"),
    ("a solid queue moves as one", BELTS, "solid_queue_moves_as_one"),
    ("For each side merge on this belt, in order", TICK, "side_merges_on_one_cell_go_by_name"),
    ("its cell is empty", JOINTS, "side_merge_uses_gaps_only"),
    ("gains its rate times the step time", BELTS, "rate_of_a_source"),
    ("A source without a rate always has credit", BELTS, "full_free_belt_carries_speed"),
    ("finds as many waiting as may wait there", TROUBLE, "arrivals_wait_or_are_lost"),
    ("a **merge** acts if the tail cell is empty", JOINTS, "saturated_alternating_merge"),
    ("`priority` in the order listed", JOINTS, "fluid_shares_of_a_merge"),
    ("If `main` has a carrier at its head", GATES, "main_goes_first"),
    ("`open`: all are admissible", GATES, "open_gate_takes_turns"),
    ("only the inlet named at the current place", GATES, "ratio_locked_gate_waits_for_its_place"),
    ("the place moves on when it passes", GATES, "ratio_locked_gate_repeats_its_pattern"),
    ("Where the pattern names `main`", GATES, "main_takes_its_places_in_the_pattern"),
    ("these are left out while it has no carrier", GATES, "places_of_an_empty_main_are_left_out"),
    ("carriers of m are on the belts of `loop`", GATES, "counted_gate_fills_to_its_quotas"),
    ("actions of the gate passed m", GATES, "windowed_gate_counts_what_main_passed"),
    ("`scarcest-first`: admissible as in counted", GATES, "scarcest_first_gate_with_quotas"),
    ("without a quota is always admissible", GATES, "material_without_quota_is_admissible"),
    ("whose target cell is empty", TICK, "placing_picker_waits_for_an_empty_cell"),
    ("may pick again in this very tick", TICK, "placing_picker_takes_again_in_the_tick_it_drops"),
    ("in **pick order**", TICK, "pick_order_is_belts_by_name_and_cell"),
    ("then by picker name", TICK, "pickers_on_one_cell_go_by_name"),
    ("at the materials in order", STATIONS, "store_serves_the_first_material_with_room"),
    ("A station wants its inputs only", TICK, "picker_leaves_what_its_target_does_not_want"),
    ("whole or not at all", WHOLE, "hand_and_room_must_hold_all_of_it"),
    ("it takes units like any other", WHOLE, "from_a_store_it_takes_units"),
    ("as many as its hand holds or none", HANDS, "k_is_the_hand_or_nothing"),
    ("carriers that it sets down on a belt are full", HANDS, "carriers_leave_full"),
    ("it swings with an empty hand", TROUBLE, "a_missed_pick_costs_a_swing"),
    ("Starts, then holding pickers deliver", TICK, "starts_once_more_after_picks"),
    ("first input in material order", TICK, "starved_for_the_first_material_that_lacks"),
    ("down from its failure to its repair", TROUBLE, "operation_dependent_failures"),
    ("(time-dependent)", TROUBLE, "an_idle_station_fails_by_time_only"),
    ("rounded up to ticks", TROUBLE, "a_brown_out_slows_the_cycles_that_start_in_it"),
    ("The rate of a source may change", TROUBLE, "a_supply_that_changes"),
    ("is drawn as: fixed", STREAMS, "laws_have_their_mean_and_variance"),
    ("draws the same whatever stands beside it", STREAMS, "other_devices_change_nothing"),
    ("Philox 4x32 with ten rounds", STREAMS, "philox_gives_the_known_answers"),
    ("the SHA-256 digest", STREAMS, "both_programs_draw_the_same"),
    ("the rest from a table", STREAMS, "the_curve_of_both_programs_is_the_logarithm"),
    ("a half up, and are at least 1", STREAMS, "both_programs_turn_draws_into_the_same_times"),
    ("the tail cell was occupied (*refused*)", BELTS, "refused_steps"),
    ("For every material: units put", PLAIN, "audit_notices_a_lost_unit"),
    ("This page is the rule book", TWINS, "the_random_layouts_cover_every_device_rule"),
    ("both follow it to the letter", *RANDOM),
    ("Every tie is broken by a rule", PLAIN, "order_of_devices_in_the_file_changes_nothing"),
    ("Time is an integer count", PLAIN, "a_tick_is_a_function_of_the_state"),
    ("the first tick that is carried out is tick 1", RULES, "the_first_tick_is_tick_1"),
    ("are rounded up to whole ticks", RULES, "spans_are_rounded_up_to_whole_ticks"),
    ("Names alike in this", PLAIN, "natural_order"),
    ("Materials are numbered", RULES, "materials_go_by_the_natural_order_of_names"),
    ("A **belt** is a chain", *SHAPE),
    ("A cell is empty or holds one carrier", *SHAPE),
    ("keeps its cell", RULES, "a_carrier_keeps_its_cell_until_it_is_empty"),
    ("A **station** holds units", *SHAPE),
    ("A **picker** has a hand", *SHAPE),
    ("A **store** holds counts", STATIONS, "store_fills_to_its_cap"),
    ("Its state lists the materials", STATIONS, "store_hands_out_single_units"),
    ("An **applicator** stands over", MARKS, "a_carrier_on_the_cell_is_marked"),
    ("holds units of its agent in a tank", MARKS, "a_tank_never_holds_more_than_its_cap"),
    ("A carrier has a mark", MARKS, "marks_go_with_the_units"),
    ("it goes with them", MARKS, "marks_go_with_the_units"),
    ("or by hand has mark 0", *RANDOM),
    ("look at materials only", MARKS, "gates_and_diverts_look_at_materials"),
    ("A store keeps units apart by mark", MARKS, "marks_go_with_the_units"),
    ("any other forgets marks", MARKS, "stations_without_grades_forget_marks"),
    ("units of the lowest mark first", MARKS, "the_lowest_mark_counts"),
    ("has the grade `m`", MARKS, "the_lowest_mark_counts"),
    ("times the factor of its grade", MARKS, "a_fraction_is_kept_over_grades"),
    ("the first name goes first", PLAIN, "belt_order"),
    ("In full: repeat", PLAIN, "belt_order"),
    ("a ring of one", RULES, "a_belt_that_feeds_itself_is_a_ring_of_one"),
    ("Cycles due now end", STATIONS, "cycles_follow_without_a_gap"),
    ("The station is idle", STATIONS, "cycles_follow_without_a_gap"),
    ("Swings due now end", TICK, "commit_picker_takes_again_in_the_tick_its_swing_ends"),
    ("they stop counting as under way", TICK, "commit_picker_takes_again_in_the_tick"),
    ("is now *placing*", TICK, "placing_picker_waits_for_an_empty_cell"),
    ("deliver again, as in 3", TICK, "holding_picker_fills_the_room_a_start_has_made"),
    ("the drain takes the carrier", BELTS, "full_free_belt_carries_speed"),
    ("If it ends at a divert", JOINTS, "alternating_divert"),
    ("What feeds the tail cell acts once", BELTS, "rate_of_a_source"),
    ("In an outage it gains nothing", BELTS, "outage_covers_its_ticks"),
    ("The empty start state gives no credit", BELTS, "rate_of_a_source"),
    ("`alternate` tries the inlets in turn", JOINTS, "saturated_alternating_merge"),
    ("It passes the head carrier", JOINTS, "fluid_shares_of_a_merge"),
    ("a **gate** acts if the tail cell is empty", GATES, "open_gate_takes_turns"),
    ("Else one of the fresh inlets", GATES, "main_goes_first"),
    ("has share 1", RULES, "a_material_without_a_share_has_share_1"),
    ("open and ratio-locked look at no quotas", *RANDOM),
    ('"In turn" starts from', GATES, "open_gate_takes_turns"),
    ("An action that passes nothing", RULES, "an_action_that_passes_nothing_counts"),
    ("at most one step's gain more", MARKS, "credit_is_bounded_itself"),
    ("with a mark below its level", MARKS, "only_what_is_named_and_lower_is_marked"),
    ("the step counts as *dry*", MARKS, "without_agent_carriers_go_on_unmarked"),
    ("as *late*", MARKS, "credit_bounds_what_is_marked"),
    ("agent is opened in whole units", MARKS, "agent_is_opened_in_whole_units"),
    ("dropped on from the next tick on", RULES, "a_cell_that_a_pick_empties_is_dropped_on"),
    ("is the least of hand, what is there", STATIONS, "commit_never_exceeds_caps"),
    ("A hand takes units of one mark", MARKS, "marks_go_with_the_units"),
    ("If `k` is 0 for all", WHOLE, "room_that_grows_lets_the_carrier_come"),
    ("Otherwise the units leave the source", TICK, "picks_come_after_belt_steps"),
    ('"Picker order" is the order', RULES, "two_hands_over_one_cell_drop_by_name"),
    ("has room at its outlet", LINES, "exponential_stations"),
    ("blocked *after* service", LINES, "exponential_stations"),
    ("draws each cycle when it starts", TROUBLE, "listed_cycles_take_listed_times"),
    ("the mean is the cycle by the grade", MARKS, "a_cycle_by_chance_is_about_that_of_its_grade"),
    ("Of several the slowest counts", RULES, "of_several_brown_outs_the_slowest_counts"),
    ("A station has a life", TROUBLE, "operation_dependent_failures_count_busy_ticks"),
    ("At 0 it fails at the next tick", TROUBLE, "operation_dependent_failures_count_busy"),
    ("The repair is drawn when it fails", TROUBLE, "operation_dependent_failures_count_busy"),
    ("from one arrival by chance", TROUBLE, "arrivals_wait_or_are_lost"),
    ("has its turn at the steps", TROUBLE, "every_other_step_halves_the_flow"),
    ("with a chance `refuses`", TROUBLE, "a_cell_that_refuses_everything_holds_all_back"),
    ("for each belt that is due now", BELTS, "queue_across_belts_moves_as_one"),
    ("`repair` with the station", STREAMS, "both_programs_draw_the_same"),
    ("`u < floor(p 2^32 + 1/2)`", *RANDOM),
    ("one of `k` alike", STREAMS, "both_programs_turn_draws_into_the_same_times"),
    ("exponential with mean `m`", STREAMS, "both_programs_turn_draws_into_the_same_times"),
    ("rounded to 1/1024 tick", STREAMS, "both_programs_turn_draws_into_the_same_times"),
    ("A stream has a kind and a name", STREAMS, "both_programs_draw_the_same"),
    ("`n` is a counter", STREAMS, "other_devices_change_nothing"),
    ("With words `u`, `w`", STREAMS, "both_programs_turn_draws_into_the_same_times"),
    ("Per drain: carriers and units", *WORKS),
    ("actions (tail or flank cell empty", JOINTS, "side_merge_uses_gaps_only"),
    ("main is counted last", GATES, "main_goes_first"),
    ("Per divert: carriers passed", JOINTS, "divert_by_material"),
    ("Per station: cycles started", TICK, "starved_for_the_first_material_that_lacks"),
    ("Per applicator: carriers", MARKED, "an_applicator_is_read"),
    ("Per picker: picks, and misses", TROUBLE, "a_missed_pick_costs_a_swing"),
    ("arrived and lost", TROUBLE, "arrivals_wait_or_are_lost"),
    ("Units put and taken off by hand", TROUBLE, "a_foreign_carrier_takes_the_place"),
    ("And for each applicator", MARKED, "both_grades_are_run_and_the_account_holds"),
    ("does not fit its number formats", COMPILED, "what_is_too_large_for_the_engine_is_said"),
    ("It also refuses layouts", COMPILED, "devices_that_do_not_fit_each_other_are_refused"),
)


@pytest.mark.parametrize(("words", "file", "name"), TABLE)
def test_the_page_says_so_and_a_test_holds_it(words: str, file: str, name: str) -> None:
    text = re.sub(r"\s+", " ", PAGE.read_text("utf-8"))
    assert words in text
    assert f"def test_{name}" in (ROOT / "tests" / file).read_text("utf-8")


HEADING = re.compile(r"#.*|\*\*\d\. [A-Za-z ]+\.\*\*( Interventions)?")
ITEM = re.compile(r"\s*(?:- |\d\. )")
END = re.compile(r"(?<=[.:;]) (?=[A-Z*`\"])")


def sentences() -> list[str]:
    """The sentences of the page, without headings and lists of less than four words."""
    parts = [""]
    for line in PAGE.read_text("utf-8").splitlines():
        if HEADING.fullmatch(line) or not line.strip():
            parts.append("")
        elif ITEM.match(line):
            parts.append(ITEM.sub("", line))
        else:
            parts[-1] += f" {line.strip()}"
    whole = [re.sub(r"\s+", " ", part).strip() for part in parts]
    found = [sentence for part in whole for sentence in END.split(part)]
    return [sentence for sentence in found if len(sentence.split()) > 3]


def test_every_sentence_of_the_page_has_a_test() -> None:
    words = [entry[0] for entry in TABLE]
    assert [one for one in sentences() if not any(some in one for some in words)] == []


def test_the_page_falls_into_sentences() -> None:
    """The test above would pass if there were none."""
    assert len(sentences()) > 140
