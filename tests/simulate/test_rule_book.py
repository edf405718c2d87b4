"""The rule book of a tick, sentence by sentence: which test holds it.

The words on the left are on the page; the test on the right runs on both programs, or holds them
against each other.
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
)


@pytest.mark.parametrize(("words", "file", "name"), TABLE)
def test_the_page_says_so_and_a_test_holds_it(words: str, file: str, name: str) -> None:
    text = re.sub(r"\s+", " ", PAGE.read_text("utf-8"))
    assert words in text
    assert f"def test_{name}" in (ROOT / "tests" / file).read_text("utf-8")
