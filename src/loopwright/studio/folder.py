"""The one folder that the studio opens: its project files, and no way out of it."""

from __future__ import annotations

import contextlib
import os
import re
import stat
from dataclasses import dataclass
from pathlib import Path

from loopwright.record import bytes_digest, write_text
from loopwright.studio.refusal import RefusalError

NAME = re.compile(r"\w[\w .+-]{0,74}\.ya?ml")
LAYOUT = ".layout.yaml"
OWN = ".loopwright"
MOST_BYTES = 2_000_000
MOST_FILES = 1000


@dataclass(frozen=True, slots=True)
class Held:
    """The text of a file and its digest."""

    text: str
    digest: str


class Folder:
    """Project files right in the folder `root`; links and folders in it are left alone."""

    def __init__(self, root: Path) -> None:
        self.root = Path(os.path.realpath(root))

    def path(self, file: str) -> Path:
        """Where the project file `file` lies or would lie.

        Raises
        ------
        RefusalError
            The name is none of a project file, or names a link.
        """
        if not NAME.fullmatch(file):
            raise RefusalError(
                404,
                f"{file!r} is no name of a project file: letters, digits, spaces, - _ + and dots, "
                "with .yaml at the end.",
            )
        path = self.root / file
        if path.is_symlink():
            raise RefusalError(403, f"{file} is a link to another place and is not followed.")
        return path

    def layout_path(self, file: str) -> Path:
        """Where the edited layout of the project file `file` lies or would lie; as `path`."""
        return self.path(self.path(file).stem + LAYOUT)

    def own(self, *parts: str) -> Path:
        """The folder of what the studio keeps for itself under these names; made where it is not.

        Raises
        ------
        RefusalError
            It cannot be made, or a link stands in its place.
        """
        path = self.root
        for part in (OWN, *parts):
            path = path / part
            try:
                path.mkdir(exist_ok=True)
            except OSError as error:
                said = f"{OWN} in the folder cannot be made: {error.strerror}."
                raise RefusalError(403, said) from None
            if path.is_symlink():
                raise RefusalError(403, f"{part} is a link to another place and is not followed.")
        with contextlib.suppress(OSError), (self.root / OWN / ".gitignore").open("x") as ignored:
            ignored.write("*\n")  # it is of no use to others
        return path

    def stamps(self) -> dict[str, tuple[int, int]]:
        """Time of the last change [ns] and size [bytes] of each project file and edited layout."""
        found = {}
        for entry in os.scandir(self.root):
            if NAME.fullmatch(entry.name) and entry.is_file(follow_symlinks=False):
                seen = entry.stat(follow_symlinks=False)
                found[entry.name] = (seen.st_mtime_ns, seen.st_size)
        return found

    def names(self) -> list[str]:
        """Project files of the folder, in order; edited layouts are not among them."""
        found = [name for name in self.stamps() if not name.endswith(LAYOUT)]
        return sorted(found)[:MOST_FILES]

    def read(self, file: str) -> Held:
        """The text of `file`.

        Raises
        ------
        RefusalError
            There is no such file, it is too large, or it is no text in UTF-8.
        """
        try:
            data = _bytes_of(self.path(file))
        except FileNotFoundError:
            raise RefusalError(404, f"There is no file {file} in the folder.") from None
        except OSError as error:
            raise RefusalError(403, f"{file} cannot be read: {error.strerror}.") from None
        if len(data) > MOST_BYTES:
            raise RefusalError(413, f"{file} is too large: at most {MOST_BYTES // 1_000_000} MB.")
        try:
            return Held(data.decode("utf-8"), bytes_digest(data))
        except UnicodeDecodeError:
            raise RefusalError(422, f"{file} is no text in UTF-8.") from None

    def write(self, file: str, text: str) -> Held:
        """Put `text` in the place of `file`, in one step.

        Raises
        ------
        RefusalError
            The name is none of a project file, or the folder cannot be written.
        """
        path = self.path(file)
        try:
            write_text(path, text)
        except OSError as error:
            raise RefusalError(403, f"{file} cannot be written: {error.strerror}.") from None
        return Held(text, bytes_digest(text.encode("utf-8")))

    def move(self, file: str, other: str) -> None:
        """Give `file` the name `other`, with its edited layout and what the studio keeps of it.

        Raises
        ------
        RefusalError
            There is no such file, there is one of the other name, or the folder cannot be written.
        """
        old, new = self.path(file), self.path(other)
        if not old.is_file():
            raise RefusalError(404, f"There is no file {file} in the folder.")
        pairs = [(old, new), (self.layout_path(file), self.layout_path(other))]
        pairs.append((self.own("history") / file, self.own("history") / other))
        if any(target.exists() for _, target in pairs[:2]):
            raise RefusalError(409, f"{other} is there already: choose another name.")
        try:
            for source, target in pairs:
                if source.exists() and not target.exists():
                    source.rename(target)
        except OSError as error:
            raise RefusalError(403, f"{file} cannot be renamed: {error.strerror}.") from None

    def create(self, file: str, text: str) -> Held:
        """Make `file`, which must not be there.

        Raises
        ------
        RefusalError
            As `write`, or there is such a file already.
        """
        path = self.path(file)
        try:
            with path.open("x", encoding="utf-8", newline="") as new:
                new.write(text)
        except FileExistsError:
            raise RefusalError(409, f"{file} is there already: choose another name.") from None
        except OSError as error:
            raise RefusalError(403, f"{file} cannot be written: {error.strerror}.") from None
        return Held(text, bytes_digest(text.encode("utf-8")))


def project_file(name: str) -> str:
    """The file that a project of this name lies in."""
    bare = name.strip()
    return bare if bare.endswith((".yaml", ".yml")) else f"{bare}.yaml"


def text_digest(text: str) -> str:
    """The digest that a file with this text has."""
    return bytes_digest(text.encode("utf-8"))


def _bytes_of(path: Path) -> bytes:
    """The bytes of an ordinary file, one more than allowed at most; a link is not followed."""
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0))
    with os.fdopen(handle, "rb") as file:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise FileNotFoundError(path)
        return file.read(MOST_BYTES + 1)
