"""Mixing materials on one belt in an exact ratio: a tree of merges, or a pattern gate."""

from loopwright.block.mixer.choose import Mix, choose_mix
from loopwright.block.mixer.design import RatioError, design_mixer
from loopwright.block.mixer.gate import PatternGate, design_gate
from loopwright.block.mixer.mixer import Leaf, Mixer, Node
from loopwright.block.mixer.proof import Proof, prove_mixer
from loopwright.block.mixer.shortage import need_of, short_product

__all__ = [
    "Leaf",
    "Mix",
    "Mixer",
    "Node",
    "PatternGate",
    "Proof",
    "RatioError",
    "choose_mix",
    "design_gate",
    "design_mixer",
    "need_of",
    "prove_mixer",
    "short_product",
]
