"""What a run reads like, and what limits its rate."""

from loopwright.simulate.reading.count import read_run
from loopwright.simulate.reading.document import run_document
from loopwright.simulate.reading.limit import Limit, jammed, limits
from loopwright.simulate.reading.readings import Readings
from loopwright.simulate.reading.recovery import final_rate

__all__ = ["Limit", "Readings", "final_rate", "jammed", "limits", "read_run", "run_document"]
