"""The laws of a loop as answers: numbers worked out before anything is run."""

from loopwright.prove.law.law import Law
from loopwright.prove.law.laws import laws_of

__all__ = ["Law", "laws_of"]
