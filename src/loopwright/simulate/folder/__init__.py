"""A run in a folder: what it came to, its readings as tables, and all that it takes to go on."""

from loopwright.simulate.folder.folder import (
    RunFolderError,
    load_run,
    read_saved,
    save_run,
    table_path,
)

__all__ = ["RunFolderError", "load_run", "read_saved", "save_run", "table_path"]
