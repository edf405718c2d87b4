"""What to do about a loop that stands: a card of steps, and the run that proves it."""

from loopwright.prove.recover.card import Admission, Card, Outcome, Purge
from loopwright.prove.recover.recover import best_cards, recover_jam, recover_loop

__all__ = ["Admission", "Card", "Outcome", "Purge", "best_cards", "recover_jam", "recover_loop"]
