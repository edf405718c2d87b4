"""What is offered: each law that is not kept, with its numbers, and only what the file can say."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

from loopwright.compare.change import Change, Edit, changed, changed_text
from loopwright.compare.remedies.asked import asked_buffers, bench_of
from loopwright.compare.remedies.offer import Offer, offer_for
from loopwright.compare.remedies.remedy import Remedy, try_change
from loopwright.model import Project, check_text
from tests.layout.design import example

SIX = Fraction(6, 20)


def _kits(*edits: Edit, **choices: Any) -> Project:
    return changed(example("filter-kits.yaml", rate=SIX, row=6, **choices), Change(edits))


def _texts(offer: Offer) -> list[str]:
    return [str(one.change) for one in offer.candidates]


def _tried(project: Project, text: str) -> Remedy:
    one = next(one for one in offer_for(project).candidates if str(one.change) == text)
    return try_change(project, one.change, one.why)


def test_quotas_that_shut_a_material_out_are_set_right_inside_their_windows() -> None:
    project = _kits(gate="windowed", quotas={"candle": 60, "seal": 40})
    before = try_change(project, Change())
    assert before.outcomes == (("refuted", "refuted"),)
    (text, *_) = _texts(offer_for(project))
    assert text == "choices.quotas: {candle: 16, seal: 12, tap: 5}"
    after = _tried(project, text)
    assert after.green
    assert "candle 4 to 29" in after.why
    assert before.price is not None
    assert after.price is not None
    assert after.price.effort == before.price.effort


def test_quotas_too_small_for_the_row_are_raised() -> None:
    """A window of one candle lets half of the row starve; that loop never jams."""
    project = _kits(gate="counted", quotas={"candle": 1})
    small = _tried(project, "choices.gate: windowed")
    assert small.price is not None
    assert small.outcomes == (("proved", "undecided"),)
    assert small.price.rate < Fraction(1, 2)
    text = "choices.gate: windowed, choices.quotas: {candle: 16, seal: 12, tap: 5}"
    assert _tried(project, text).green


def test_unequal_caps_are_made_equal_in_cycles() -> None:
    caps = {"candle": 20, "seal": 3, "tap": 1}
    edits = [Edit(("processes", "pack-kit", "caps", name), cap) for name, cap in caps.items()]
    project = _kits(*edits, gate="ratio-locked")
    before = try_change(project, Change())
    assert before.started < Fraction(3, 4)
    text = "processes.pack-kit.caps: {seal: 30, tap: 10}"
    after = _tried(project, text)
    assert after.started == 1
    assert after.outcomes[0][0] == "proved"
    assert "candle 10, seal 1, tap 1" in after.why


def test_caps_that_are_named_are_raised_with_the_batches() -> None:
    project = example("filter-kits.yaml", rate=Fraction(36, 20), row=36, gate="windowed")
    small = Edit(("processes", "pack-kit", "caps", "tap"), 1)
    project = changed(project, Change((small,)))
    (asked,) = asked_buffers(bench_of(project))
    assert str(asked.change) == "processes.pack-kit.caps: {tap: 3}"


def test_hands_too_small_for_a_carrier() -> None:
    """Room and hands are both asked for: neither helps alone, both together do."""
    project = _kits(Edit(("equipment", "pickers", "arm", "takes"), "carriers"), gate="windowed")
    texts = [text for text in _texts(offer_for(project)) if "hand: 4" in text]
    alone, both = texts
    assert not _tried(project, alone).green
    assert "batches: 4" in both
    assert _tried(project, both).green


def test_rows_behind_others_are_offered_docks_of_their_own() -> None:
    project = example("filter-kits.yaml", rate=2 * SIX, row=6, gate="windowed", supply="trunks")
    assert bench_of(project).loops[0].shares_docks
    text = "choices.supply: docks"
    assert text in _texts(offer_for(project))
    assert _tried(project, text).green


def test_a_slow_belt_is_offered_a_faster_one_and_shorter_rows() -> None:
    slow = Edit(("equipment", "belts", "slow", "speed"), Fraction(4))
    project = example("filter-kits.yaml", rate=Fraction(36, 20), row=36, gate="windowed")
    belts = {**project.equipment.belts, "slow": project.equipment.belts["band"]}
    project = project.model_copy(
        update={"equipment": project.equipment.model_copy(update={"belts": belts})}
    )
    batches = Edit(("equipment", "stations", "packer", "batches"), 2)
    project = changed(project, Change((slow, batches, Edit(("choices", "belt"), "slow"))))
    texts = _texts(offer_for(project))
    assert "choices.belt: band" in texts
    rows = [text for text in texts if text.startswith("choices.row")]
    assert rows
    assert all(int(text.split()[-1]) < 36 for text in rows)
    assert _tried(project, rows[0]).green


def test_a_gate_comes_in_place_of_a_mixer_that_cannot_look_at_the_mix() -> None:
    project = _kits(gate="auto", mix="mixer")
    assert _tried(project, "choices.mix: gate, choices.gate: windowed").green


def test_a_pass_is_offered_a_faster_collector_and_a_loop() -> None:
    project = example("check-block.yaml", architecture="pass", belt="belt")
    quick = project.equipment.belts["belt"].model_copy(update={"speed": Fraction(45)})
    belts = {**project.equipment.belts, "quick": quick}
    richer = project.model_copy(
        update={"equipment": project.equipment.model_copy(update={"belts": belts})}
    )
    texts = _texts(offer_for(richer))
    assert texts[0] == "choices.architecture: loop, choices.gate: windowed"
    assert "choices.collector_belt: quick" in texts
    assert "choices.gate: drained" in texts
    poorer = offer_for(project)
    assert not any("collector_belt" in text for text in _texts(poorer))
    assert any("no faster belt" in told for told in poorer.advice)
    assert any("alternating merges" in told for told in poorer.advice)


def test_nothing_is_offered_that_cannot_be_written_into_the_file() -> None:
    """A picker of the catalogue is not to be changed here: that is advice."""
    edits = [Edit(("equipment", "pickers", name, "habit"), "grab") for name in ("arm", "boom")]
    project = _kits(*edits, gate="open")
    text = Path("examples/filter-kits.yaml").read_text("utf-8")
    whole = offer_for(project, text)
    assert "equipment.pickers.arm.habit: commit" in _texts(whole)
    start, end = text.index("  pickers:"), text.index("  power_nodes:")
    apart = offer_for(project, text[:start] + text[end:])
    assert not any("habit" in one for one in _texts(apart))
    assert any("does not stand here" in told for told in apart.advice)


def test_a_change_of_quotas_is_written_with_the_rest_kept() -> None:
    text = Path("examples/filter-kits.yaml").read_text("utf-8")
    names = {"candle": 107, "tap": 26}
    change = Change(tuple(Edit(("choices", "quotas", name), q) for name, q in names.items()))
    assert str(change) == "choices.quotas: {candle: 107, tap: 26}"
    after = changed_text(text, change)
    new = [line for line in after.splitlines() if line not in text.splitlines()]
    assert new == ["  quotas: {candle: 107, tap: 26}"]
    project, findings = check_text(after)
    assert project is not None
    assert not findings
    assert project.choices.quotas == names


def test_sections_of_a_site_are_looked_at_each_by_itself() -> None:
    """Quotas that shut sawdust out of one section are changed; the best gate tells of loops of
    every section."""
    project = example("filter-works.yaml", gate="windowed", quotas={"clay": 30})
    bench = bench_of(project)
    assert len(bench.sections) > 1
    first, *_ = offer_for(project).candidates
    assert first.change.edits[0].path == ("choices", "quotas", "clay")
    gates = offer_for(example("filter-works.yaml", gate="open")).candidates
    assert gates[0].why.count("always comes in again") == len(bench.sections)


def test_behind_a_mixer_the_loop_is_drained_or_gates_mix() -> None:
    project = example("filter-kits.yaml", rate=Fraction(6, 20), row=6, gate="open", mix="mixer")
    offered = [str(one.change) for one in offer_for(project).candidates]
    assert "choices.gate: drained" in offered
    assert "choices.mix: gate, choices.gate: windowed" in offered


def test_sorted_returns_are_offered_and_whole_carriers_where_they_need_them() -> None:
    """A light row comes back with its carriers part-used, a loaded one with whole ones only."""
    light = _kits(gate="open")
    texts = [text for text in _texts(offer_for(light)) if "sorted" in text]
    assert texts == ["choices.gate: sorted"]
    assert _tried(light, texts[0]).green
    heavy = example("filter-kits.yaml", rate=Fraction(36, 20), row=36, gate="open")
    alone, whole = [text for text in _texts(offer_for(heavy)) if "sorted" in text]
    assert _tried(heavy, alone).outcomes[0] == ("proved", "undecided")
    assert "takes: carriers" in whole
    assert _tried(heavy, whole).green
