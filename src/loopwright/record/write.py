"""Writing whole files: the old file stays until the new one is complete."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

_NEW_FILE_MODE = 0o644


def write_text(path: Path | str, text: str) -> None:
    """Write `text` in UTF-8 with its line ends as they are; see `write_bytes`."""
    write_bytes(path, text.encode("utf-8"))


def write_bytes(path: Path | str, data: bytes) -> None:
    """Write `data` to a new file beside `path`, then put it in place in one step.

    A link is followed. The permissions of an old file are kept.

    Raises
    ------
    OSError
        The folder is missing or cannot be written; the old file is untouched.
    """
    target = Path(os.path.realpath(path))
    mode = target.stat().st_mode & 0o777 if target.exists() else _NEW_FILE_MODE
    try:
        handle, name = tempfile.mkstemp(
            prefix=f".{target.name[:60]}.", suffix=".part", dir=target.parent
        )
    except OSError as error:  # of the file that was asked for, not of the one beside it
        raise OSError(error.errno, error.strerror, str(path)) from None
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(mode)
        Path(name).replace(target)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
