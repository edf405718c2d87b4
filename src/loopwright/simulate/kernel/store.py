"""Where object code is kept, so that it is built once."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from stat import S_IWGRP, S_IWOTH

HERE = Path(__file__).parent
DIGEST_BYTES = 32


def edition() -> str:
    """Digest of all that goes into the code besides the machine."""
    told = (version("numba"), version("llvmlite"), sys.implementation.cache_tag)
    digest = sha256(" ".join(map(str, told)).encode())
    lists = [HERE.parent / name for name in ("columns.py", "records.py")]
    for path in sorted([*HERE.glob("*.py"), *lists]):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:12]


def kept(name: str) -> bytes | None:
    """What is kept as `name`; None where nothing is, or something that is broken or may be by
    somebody else."""
    for folder in _folders():
        with suppress(OSError):
            if not (_is_ours(folder) and _is_ours(folder / name)):
                continue
            data = (folder / name).read_bytes()
            digest, code = data[:DIGEST_BYTES], data[DIGEST_BYTES:]
            if sha256(code).digest() == digest:
                return code
    return None


def keep(name: str, code: bytes) -> Path | None:
    """Keep `code` as `name` in the first folder that is ours to write to; where, None if nowhere.

    The file appears only when it is complete.
    """
    for folder in _folders():
        with suppress(OSError):
            folder.mkdir(mode=0o755, parents=True, exist_ok=True)
            if not _is_ours(folder):
                continue
            part = folder / f".{name}.{os.getpid()}"
            try:
                descriptor = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o644)
                with open(descriptor, "wb") as file:  # noqa: PTH123
                    file.write(sha256(code).digest() + code)
                part.replace(folder / name)
            finally:
                part.unlink(missing_ok=True)
            return folder / name
    return None


@contextmanager
def alone(name: str) -> Iterator[None]:
    """In here is only one process at a time for `name`, where the system can tell them apart and
    there is a folder to keep it in."""
    with ExitStack() as stack:
        for folder in _folders():
            with suppress(OSError, ImportError):
                import fcntl

                folder.mkdir(mode=0o755, parents=True, exist_ok=True)
                lock = stack.enter_context((folder / f".{name}.lock").open("wb"))
                fcntl.flock(lock, fcntl.LOCK_EX)  # ends with the process, however that ends
                break
        yield


def _is_ours(path: Path) -> bool:
    """Whether only this user, or who installed the program, can write to `path`."""
    if sys.platform == "win32":  # a user's folders are his own there
        return True
    state = path.stat()
    own = state.st_uid in (os.getuid(), HERE.stat().st_uid)
    return own and not state.st_mode & (S_IWGRP | S_IWOTH)


def _folders() -> Iterator[Path]:
    """Where to look and to write: the folder that is asked for, or beside the program, or the
    user's own."""
    asked = os.environ.get("LOOPWRIGHT_CACHE")
    if asked:
        yield Path(asked)
        return
    yield HERE / "__pycache__"
    with suppress(RuntimeError):  # there is no home
        yield _user_folder() / "loopwright"


def _user_folder() -> Path:
    """Where programs of this user keep what they can make again."""
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches"
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
