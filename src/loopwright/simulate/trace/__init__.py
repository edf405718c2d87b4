"""What was on every cell, again and again: written while a run goes on, read by time."""

from loopwright.simulate.trace.reader import Frame, Trace
from loopwright.simulate.trace.writer import TraceWriter

__all__ = ["Frame", "Trace", "TraceWriter"]
