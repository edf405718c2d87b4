"""Tables of equipment and processes (CSV) -> a project file or a part of one."""

from loopwright.model.table.imported import Imported, import_tables
from loopwright.model.table.kind import KINDS, Column, Kind

__all__ = ["KINDS", "Column", "Imported", "Kind", "import_tables"]
