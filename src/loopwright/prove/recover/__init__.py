"""What to do about loops that stand: cards of steps, and the run that proves them."""

from loopwright.prove.recover.card import Admission, Card, Outcome, Purge, Recovered
from loopwright.prove.recover.recover import best_cards, recover_loops

__all__ = [
    "Admission",
    "Card",
    "Outcome",
    "Purge",
    "Recovered",
    "best_cards",
    "recover_loops",
]
