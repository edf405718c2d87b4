"""A run that is watched: looked at while it goes on, stopped, turned back and interfered with."""

from loopwright.simulate.watch.device import DeviceReading, read_device
from loopwright.simulate.watch.view import View
from loopwright.simulate.watch.watch import Watch

__all__ = ["DeviceReading", "View", "Watch", "read_device"]
