"""Earlier texts of each file, kept beside the files so that nothing typed is lost.

A version is a file whose name says all about it: number, time, digest, lines added and removed. So
there is no list that could contradict the files.
"""

from __future__ import annotations

import re
from collections import Counter, OrderedDict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from loopwright.record import write_text
from loopwright.studio.folder import Folder
from loopwright.studio.message import Version
from loopwright.studio.refusal import RefusalError

NEWEST = 100
"""Versions that are all kept; of those before, the last of each hour."""

MOST_VERSIONS = 200
MOST_BYTES = 50_000_000
"""What the versions of one file may take [bytes]."""

SERVED_BYTES = 20_000_000
"""Texts that pages were given and may change, kept in memory [bytes]."""

_NAME = re.compile(r"(\d{6})-(\d{8}T\d{6}Z)-([0-9a-f]{64})-(\d+)-(\d+)\.txt")
_TIME = "%Y%m%dT%H%M%SZ"


@dataclass(frozen=True, slots=True)
class _Kept:
    """A version on disk."""

    path: Path
    number: int
    time: datetime
    digest: str
    added: int
    removed: int


class History:
    """The versions of all files of `folder`; `now` tells the time."""

    def __init__(
        self, folder: Folder, now: Callable[[], datetime] = lambda: datetime.now(UTC)
    ) -> None:
        self.folder = folder
        self.now = now
        self._served: OrderedDict[str, str] = OrderedDict()

    def remember(self, digest: str, text: str) -> None:
        """Keep a text in memory that a page was given, and may send back changed."""
        self._served[digest] = text
        self._served.move_to_end(digest)
        while sum(map(len, self._served.values())) > SERVED_BYTES and len(self._served) > 1:
            self._served.popitem(last=False)

    def recall(self, file: str, digest: str) -> str | None:
        """The text of `file` that had this digest, None where it is no longer kept."""
        if digest in self._served:
            return self._served[digest]
        for kept in self._versions(file):
            if kept.digest == digest:
                return kept.path.read_bytes().decode("utf-8")
        return None

    def add(self, file: str, digest: str, text: str) -> None:
        """Keep a text of `file`, unless it is the newest version already.

        Raises
        ------
        RefusalError
            The folder cannot be written.
        """
        versions = list(self._versions(file))
        last = versions[-1] if versions else None
        if last is not None and last.digest == digest:
            return
        before = last.path.read_bytes().decode("utf-8") if last is not None else ""
        old, new = Counter(before.split("\n")), Counter(text.split("\n"))
        number = last.number + 1 if last is not None else 1
        name = (
            f"{number:06d}-{self.now():{_TIME}}-{digest.removeprefix('sha256:')}"
            f"-{(new - old).total()}-{(old - new).total()}.txt"
        )
        home = self.folder.own("history", file)
        try:
            write_text(home / name, text)
        except OSError as error:
            said = f"The history of {file} cannot be written: {error.strerror}."
            raise RefusalError(403, said) from None
        self._thin(list(self._versions(file)))

    def versions(self, file: str) -> tuple[Version, ...]:
        """All versions, the newest first."""
        return tuple(
            Version(
                id=str(kept.number),
                time=kept.time.isoformat().replace("+00:00", "Z"),
                digest=kept.digest,
                lines_added=kept.added,
                lines_removed=kept.removed,
            )
            for kept in reversed(list(self._versions(file)))
        )

    def read(self, file: str, version: str) -> tuple[str, str] | None:
        """Text and digest of a version, None where there is none."""
        for kept in self._versions(file):
            if str(kept.number) == version:
                return kept.path.read_bytes().decode("utf-8"), kept.digest
        return None

    def _versions(self, file: str) -> Iterator[_Kept]:
        """The oldest first. Only ordinary files count, whatever else lies there."""
        for path in sorted(self.folder.own("history", file).iterdir()):
            found = _NAME.fullmatch(path.name)
            if found is None or path.is_symlink() or not path.is_file():
                continue
            number, time, digest, added, removed = found.groups()
            at = datetime.strptime(time, _TIME).replace(tzinfo=UTC)
            yield _Kept(path, int(number), at, f"sha256:{digest}", int(added), int(removed))

    def _thin(self, versions: list[_Kept]) -> None:
        """Take away what is more than enough; the newest always stays."""
        stay: list[Path] = []
        hours: set[str] = set()
        size = 0
        for place, kept in enumerate(reversed(versions)):
            hour = kept.time.strftime("%Y%m%d%H")
            size += kept.path.stat().st_size
            wanted = place < NEWEST or hour not in hours
            if place == 0 or (wanted and len(stay) < MOST_VERSIONS and size <= MOST_BYTES):
                stay.append(kept.path)
            if place >= NEWEST:
                hours.add(hour)
        for kept in versions:
            if kept.path not in stay:
                kept.path.unlink(missing_ok=True)
