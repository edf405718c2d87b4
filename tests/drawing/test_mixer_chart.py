"""The drawing of a mixer."""

from __future__ import annotations

from xml.etree import ElementTree

from loopwright.block.mixer import design_mixer
from loopwright.drawing.mixer_chart import mixer_chart


def test_the_drawing_shows_every_leaf_and_merge() -> None:
    mixer = design_mixer({"candle": 5, "tap": 5, "seal": 1})
    text = mixer_chart(mixer)
    ElementTree.fromstring(text)
    assert text.count("of what the root passes") == mixer.merges
    assert text.count("feedback first") == 1
    for material, weight in mixer.leaves:
        assert f"{material or 'feedback'} {weight}" in text
    assert mixer_chart(mixer) == text


def test_without_feedback_there_is_no_feedback_lane() -> None:
    assert "feedback" not in mixer_chart(design_mixer({"A": 2, "B": 1}))
