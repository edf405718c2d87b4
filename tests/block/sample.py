"""Small projects for the tests of this folder."""

from copy import deepcopy
from typing import Any

from loopwright.model import Project

CHECK: dict[str, Any] = {
    "project": {"format": 1, "name": "Check block"},
    "materials": {
        "a": {"stack": 4},
        "b": {"stack": 4},
        "c": {"stack": 4},
        "kit": {},
    },
    "processes": {
        "pack": {
            "station": "packer",
            "cycle": "16/3 s",
            "inputs": {"a": 3, "b": 3, "c": 3},
            "outputs": {"kit": 1},
            "yield": "5/4",
        }
    },
    "equipment": {
        "stations": {"packer": {"power": "75 kW", "effort": "10"}},
        "belts": {"fast": {"speed": "30 carriers/s"}, "slow": {"speed": "15 carriers/s"}},
        "pickers": {"arm": {"swing": "1/3 s", "power": "5 kW"}},
    },
    "demand": {"kit": "150/s"},
}


def project(**changes: Any) -> Project:
    """The check block, changed: `choices={"row": 60}`, `demand={"kit": "151/s"}`, ..."""
    data = deepcopy(CHECK)
    for section, change in changes.items():
        data[section] = _merged(data.get(section, {}), change)
    return Project.model_validate(data)


def _merged(old: Any, new: Any) -> Any:
    if not (isinstance(old, dict) and isinstance(new, dict)):
        return new
    return {**old, **{key: _merged(old.get(key), value) for key, value in new.items()}}
