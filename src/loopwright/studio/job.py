"""Work in the background: a list of jobs, kept on disk, and the worker that does them in turn.

Each job has a folder with what was asked, how it stands, its result so far and its files. After a
restart they are all there again; a job that was under way is told to be interrupted.
"""

from __future__ import annotations

import json
import queue
import re
import secrets
import shutil
import threading
from collections import Counter
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from loopwright.record import write_text
from loopwright.studio.folder import Folder, text_digest
from loopwright.studio.message import AskJob, Finding, Job, JobChanged, JobFile
from loopwright.studio.options import OPTIONS
from loopwright.studio.process import Worker
from loopwright.studio.refusal import RefusalError

JOB, TEXT, RESULT, FILES = "job.json", "text.yaml", "result.json", "files"

MOST_KEPT, MOST_ALIKE = 100, 4
"""Jobs kept, and those of one kind and file; the oldest go first."""

MOST_WAITING = 20
MOST_RESULT = 60_000_000
"""Largest result that is sent to a page [bytes]."""

ENDED = ("done", "failed", "cancelled", "interrupted")

_ID = re.compile(r"\d{8}T\d{12}-[0-9a-f]{6}")


class Jobs:
    """The jobs of a folder; `tell` hears of every change."""

    def __init__(self, folder: Folder, tell: Callable[[JobChanged], None]) -> None:
        self.folder = folder
        self.tell = tell
        self._lock = threading.RLock()
        self._jobs: dict[str, Job] = {}
        self._waiting: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        self._worker = Worker()
        self._cancelled: set[str] = set()
        self._runner: threading.Thread | None = None
        self._closed = False
        self._load()

    # ------------------------------------------------------------------- what pages ask for

    def listed(self) -> tuple[Job, ...]:
        """All jobs, the newest first."""
        with self._lock:
            return tuple(self._jobs[key] for key in sorted(self._jobs, reverse=True))

    def get(self, job: str) -> Job:
        """One job; RefusalError 404 where there is none."""
        with self._lock:
            if job not in self._jobs:
                raise RefusalError(404, "There is no such job any more.")
            return self._jobs[job]

    def result(self, job: str) -> Any:
        """What the job found so far, None where nothing; errors as `get`."""
        path = self._home(self.get(job).id) / RESULT
        try:
            if path.stat().st_size > MOST_RESULT:
                raise RefusalError(413, "The result is too large to be shown here.")
            return json.loads(path.read_text("utf-8"))
        except (OSError, ValueError):
            return None

    def text(self, job: str) -> str:
        """The text that the job works on; RefusalError 404 where it is gone."""
        try:
            return (self._home(self.get(job).id) / TEXT).read_bytes().decode("utf-8")
        except (OSError, UnicodeDecodeError):
            raise RefusalError(404, "The text of this job is gone.") from None

    def file(self, job: str, name: str) -> Path:
        """Where a file of a job lies; RefusalError 404 where there is none of that name."""
        if name not in [one.name for one in self.get(job).files]:
            raise RefusalError(404, "The job has no such file.")
        path = self._home(job) / FILES / name
        if path.is_symlink() or not path.is_file():
            raise RefusalError(404, "The file is gone.")
        return path

    def add(self, asked: AskJob) -> Job:
        """Put a job at the end of the list; where the same is under way already, that is given.

        Raises
        ------
        RefusalError
            Its options are not understood, too many wait, or the folder cannot be written.
        """
        self.folder.path(asked.file)
        try:
            options = OPTIONS[asked.kind].model_validate_json(json.dumps(asked.options))
        except ValidationError as error:
            first = error.errors(include_url=False, include_input=False)[0]
            where = ".".join(str(step) for step in first["loc"])
            allowed = first.get("ctx", {}).get("allowed")
            more = f"; allowed: {allowed}" if allowed else ""
            raise RefusalError(422, f"{asked.kind}: {where}: {first['msg']}{more}.") from None
        now, told = datetime.now(UTC), options.model_dump(mode="json")
        same = (asked.kind, asked.file, text_digest(asked.text), told)
        with self._lock:
            for job in self._jobs.values():
                alike = (job.kind, job.file, job.digest, job.options) == same
                if alike and job.state not in ENDED and job.id not in self._cancelled:
                    return job
            if sum(job.state not in ENDED for job in self._jobs.values()) >= MOST_WAITING:
                raise RefusalError(429, "Too many jobs wait: cancel some, or wait for them.")
            job = Job(
                id=f"{now:%Y%m%dT%H%M%S%f}-{secrets.token_hex(3)}", kind=asked.kind,
                file=asked.file, digest=text_digest(asked.text), options=told,
                state="waiting", done=0.0, note="", made=_stamp(now), ended=None, files=(),
                error=None, findings=(),
            )  # fmt: skip
            home = self.folder.own("jobs", job.id)
            try:
                write_text(home / TEXT, asked.text)
            except OSError as error:
                raise RefusalError(403, f"The job cannot be kept: {error.strerror}.") from None
            self._set(job)
            self._forget_old()
            if self._runner is None:
                self._runner = threading.Thread(target=self._run, daemon=True)
                self._runner.start()
        self._waiting.put(job.id)
        return job

    def cancel(self, job: str) -> Job:
        """Stop a job, keeping what is done; one that has ended is taken off the list."""
        with self._lock:
            found = self.get(job)
            if found.state in ENDED:
                del self._jobs[job]
                shutil.rmtree(self._home(job), ignore_errors=True)
                self.tell(JobChanged(id=job, job=None))
                return found
            self._cancelled.add(job)
            if found.state == "running":
                return found  # the one who carries it out asks every moment whether it is cancelled
            return self._end(found, "cancelled")

    def warm(self) -> None:
        """Let the first job begin at once."""
        with self._lock:
            if not self._closed:
                self._worker.warm()

    def close(self) -> None:
        """Stop all work; what was under way is interrupted."""
        with self._lock:
            self._closed = True
            for job in self.listed():
                if job.state not in ENDED:
                    self._end(job, "interrupted")
        self._worker.kill()
        self._waiting.put(None)
        if self._runner is not None:
            self._runner.join(timeout=5)

    # ---------------------------------------------------------------------------- the work

    def _run(self) -> None:
        while (job := self._waiting.get()) is not None:
            with self._lock:
                found = self._jobs.get(job)
                if found is None or found.state != "waiting" or self._closed:
                    continue
                now = _stamp(datetime.now(UTC))
                running = {"state": "running", "note": "starting", "begun": now}
                self._set(found.model_copy(update=running))
            try:
                self._do(found)
            except RefusalError as error:
                self._end(found, "failed", str(error))

    def _do(self, job: Job) -> None:
        home = self.folder.own("jobs", job.id)
        text = (home / TEXT).read_bytes().decode("utf-8")
        order = {
            "job": job.id, "kind": job.kind, "file": job.file, "text": text,
            "options": job.options, "folder": str(self.folder.root), "home": str(home),
        }  # fmt: skip
        for said in self._worker.do(order, lambda: job.id in self._cancelled):
            if "end" not in said:
                with self._lock:
                    if self._jobs[job.id].state == "running":
                        self._set(self._with_files(job.id, said), write=False)
                continue
            state = "cancelled" if job.id in self._cancelled else said["end"]
            error = None if state == "cancelled" else said.get("error")
            self._end(job, state, error, said.get("findings", ()))

    def _with_files(self, job: str, said: dict[str, Any]) -> Job:
        place = self._home(job) / FILES
        found = sorted(place.iterdir()) if place.is_dir() else []
        files = tuple(
            JobFile(name=path.name, size=path.stat().st_size)
            for path in found
            if path.is_file() and not path.name.startswith(".")
        )
        return self._jobs[job].model_copy(
            update={key: said[key] for key in ("done", "note") if key in said} | {"files": files}
        )

    def _end(self, job: Job, state: str, error: str | None = None, found: Any = ()) -> Job:
        with self._lock:
            current = self._jobs.get(job.id)
            if current is None or current.state in ENDED:
                return current or job
            self._cancelled.discard(job.id)
            done = {"done": 1.0} if state == "done" else {}
            ended = self._with_files(job.id, {"note": ""} | done).model_copy(
                update={
                    "state": state,
                    "ended": _stamp(datetime.now(UTC)),
                    "error": error,
                    "findings": tuple(Finding.model_validate(one) for one in found),
                }
            )
            self._set(ended)
            return ended

    # ---------------------------------------------------------------------------- on disk

    def _home(self, job: str) -> Path:
        return self.folder.root / ".loopwright" / "jobs" / job

    def _set(self, job: Job, write: bool = True) -> None:
        self._jobs[job.id] = job
        if write:
            write_text(self.folder.own("jobs", job.id) / JOB, job.model_dump_json(indent=2))
        self.tell(JobChanged(id=job.id, job=job))

    def _load(self) -> None:
        """Jobs of earlier times. What does not read as one is left alone."""
        home = self.folder.root / ".loopwright" / "jobs"
        if home.is_symlink() or not home.is_dir():
            return
        for place in sorted(home.iterdir()):
            if not _ID.fullmatch(place.name) or place.is_symlink():
                continue
            try:
                job = Job.model_validate_json((place / JOB).read_text("utf-8"))
            except (OSError, ValidationError, UnicodeDecodeError):
                continue
            if job.id != place.name:
                continue
            self._jobs[job.id] = job
            if job.state not in ENDED:
                self._end(job, "interrupted")

    def _forget_old(self) -> None:
        """Take the oldest ended jobs away: of each kind and file some stay, and not all."""
        seen: Counter[tuple[str, str]] = Counter()
        for place, job in enumerate(self.listed()):
            seen[job.kind, job.file] += 1
            if job.state in ENDED and (seen[job.kind, job.file] > MOST_ALIKE or place > MOST_KEPT):
                del self._jobs[job.id]
                shutil.rmtree(self._home(job.id), ignore_errors=True)
                self.tell(JobChanged(id=job.id, job=None))


def _stamp(time: datetime) -> str:
    return time.isoformat(timespec="milliseconds").replace("+00:00", "Z")
