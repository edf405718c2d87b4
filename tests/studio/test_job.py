"""Work in the background: done, told, cancelled, kept over a restart."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from PIL import Image
from starlette.testclient import TestClient

from loopwright.model.example import example_path
from loopwright.simulate.folder.parquet import read_parquet
from loopwright.simulate.trace import Trace
from loopwright.studio import process
from loopwright.studio.server import build_app
from tests.studio.conftest import HOME, TOKEN

MOST = 120.0


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("designs")


@pytest.fixture(scope="module")
def page(home: Path) -> Iterator[TestClient]:
    """A studio whose worker stays warm over the tests of this file."""
    yield from _open(home)


def _open(folder: Path) -> Iterator[TestClient]:
    with TestClient(build_app(folder, TOKEN), base_url=HOME, follow_redirects=False) as client:
        client.get(f"/?token={TOKEN}")
        client.headers["Origin"] = HOME
        yield client


@pytest.fixture(scope="module")
def small() -> str:
    """The demonstration, cut down to six stations."""
    text = example_path("filter-kits.yaml").read_text("utf-8")
    return text.replace("kit: 648/min", "kit: 18/min").replace("row: 36 ", "row: 6 ")


def _ask(page: TestClient, kind: str, text: str, **options: Any) -> str:
    body = {"kind": kind, "file": "kits.yaml", "text": text, "options": options}
    answer = page.post("/api/jobs", json=body)
    assert answer.status_code == 200, answer.text
    return str(answer.json()["id"])


def _ended(page: TestClient, job: str) -> dict[str, Any]:
    until = time.monotonic() + MOST
    while time.monotonic() < until:
        found: dict[str, Any] = page.get(f"/api/jobs/{job}").json()
        if found["job"]["state"] not in ("waiting", "running"):
            return found
        time.sleep(0.05)
    raise AssertionError(f"{job} has not ended: {found['job']}")


def _done(page: TestClient, kind: str, text: str, **options: Any) -> dict[str, Any]:
    found = _ended(page, _ask(page, kind, text, **options))
    assert found["job"]["state"] == "done", found["job"]
    assert found["job"]["done"] == 1
    return found


def _files(page: TestClient, found: dict[str, Any]) -> dict[str, bytes]:
    job = found["job"]
    address = f"/api/jobs/{job['id']}/files"
    data = {one["name"]: page.get(f"{address}/{one['name']}").content for one in job["files"]}
    assert {name: len(content) for name, content in data.items()} == {
        one["name"]: one["size"] for one in job["files"]
    }
    return data


def test_every_loop_is_proved(page: TestClient, small: str) -> None:
    found = _done(page, "prove", small)
    outcomes = {one["outcome"] for one in found["result"]["verdicts"]}
    assert outcomes == {"proved"}
    assert found["result"]["kind"] == "verdicts"
    assert found["result"]["laws"]
    assert b"kind: certificate" in _files(page, found)["kits-certificate.txt"][:200]


def test_scenarios_are_run(page: TestClient, small: str) -> None:
    found = _done(page, "simulate", small, scenarios=["steady"], hours="1/4", replications=2)
    runs = found["result"]["runs"]
    assert [one["scenario"]["seed"] for one in runs] == [0, 1]
    assert all(one["met"] for one in runs)
    assert runs[0]["chart"].startswith("<svg")
    assert len(runs[0]["series"]["rates"]) > 50


def test_tables_come_in_three_formats(page: TestClient, small: str, tmp_path: Path) -> None:
    rows = {}
    for form in ("csv", "parquet", "xlsx"):
        found = _done(page, "tables", small, scenario="steady", hours="1/4", format=form)
        rows[form] = found["result"]["rows"]
        ((name, data),) = _files(page, found).items()
        (tmp_path / name).write_bytes(data)
    assert rows["csv"] == rows["parquet"] == rows["xlsx"]
    assert rows["csv"]["stations"] == 6
    with ZipFile(tmp_path / "kits-steady-csv.zip") as archive:
        head, *lines = archive.read("stations.csv").decode("utf-8").splitlines()
        assert head == "station,row,busy,blocked,starved"
        assert len(lines) == 6
    with ZipFile(tmp_path / "kits-steady-parquet.zip") as archive:
        archive.extract("stations.parquet", tmp_path)
    assert len(read_parquet(tmp_path / "stations.parquet").rows) == 6
    with ZipFile(tmp_path / "kits-steady.xlsx") as book:
        names = re.findall(r'<sheet name="(\w+)"', book.read("xl/workbook.xml").decode())
        assert names == list(rows["xlsx"])


def test_drawings_come_in_four_formats(page: TestClient, small: str) -> None:
    begins = {"svg": b"<svg", "dxf": b"  0", "pdf": b"%PDF", "png": b"\x89PNG"}
    for kind, begin in begins.items():
        ((name, data),) = _files(page, _done(page, kind, small)).items()
        assert name == f"kits.{kind}"
        assert data.startswith(begin)


def test_a_report_is_shown_in_a_room_of_its_own(page: TestClient, small: str) -> None:
    found = _done(page, "report", small, scenarios=["steady"])
    assert found["result"]["target_met"]
    address = f"/api/jobs/{found['job']['id']}/files/kits.html"
    kept = page.get(address)
    assert kept.headers["content-disposition"].startswith("attachment")
    shown = page.get(f"{address}?show=1")
    assert shown.headers["content-disposition"].startswith("inline")
    policy = shown.headers["content-security-policy"]
    assert policy.startswith("sandbox allow-scripts")
    assert "allow-same-origin" not in policy
    assert "default-src 'none'" in policy
    assert "Household water-filter kits" in shown.text


def test_a_jam_gets_a_card_and_a_remedy(page: TestClient, small: str) -> None:
    text = small.replace("gate: windowed", "gate: open")
    cards = _done(page, "recover", text)["result"]["groups"]
    assert cards[0]["ways"][0]["works"]
    assert cards[0]["ways"][0]["steps"]
    found = _done(page, "remedy", text)
    assert [one["green"] for one in found["result"]["tried"]][:2] == [False, True]
    safe = _files(page, found)["kits-safe.yaml"].decode("utf-8")
    assert safe == text.replace("gate: open", "gate: windowed")


def test_a_trace_and_a_film_are_made(page: TestClient, small: str, tmp_path: Path) -> None:
    found = _done(page, "trace", small, span="30 s", every="1/2 s")
    assert found["result"]["frames"] == 61
    (tmp_path / "a.trace").write_bytes(_files(page, found)["kits-steady.trace"])
    with Trace.open(tmp_path / "a.trace") as trace:
        assert len(trace) == 61
    found = _done(page, "film", small, span="4 s", speed=4, width=320, format="apng")
    assert found["result"]["frames"] == 15
    with Image.open(BytesIO(_files(page, found)["kits-steady.apng"])) as film:
        assert getattr(film, "n_frames", 1) == 15


@pytest.mark.slow
def test_rows_of_a_study_fill_while_it_goes_on_and_stay_when_it_is_cancelled(
    page: TestClient, small: str
) -> None:
    job = _ask(page, "stress", small, outages=["30 s", "31 s", "32 s", "33 s"])
    until = time.monotonic() + MOST
    rows: list[Any] = []
    while not rows and time.monotonic() < until:
        found = page.get(f"/api/jobs/{job}").json()
        rows = (found["result"] or {"rows": []})["rows"]
        time.sleep(0.02)
    assert 0 < len(rows) < len(found["result"]["cases"])
    assert page.delete(f"/api/jobs/{job}").status_code == 200
    found = _ended(page, job)
    assert found["job"]["state"] == "cancelled"
    assert len(rows) <= len(found["result"]["rows"]) < len(found["result"]["cases"])
    assert _files(page, found)["kits-stress.csv"].startswith(b"kind,material")


@pytest.mark.slow
def test_designs_stand_side_by_side_with_the_file_of_each(page: TestClient, small: str) -> None:
    found = _done(page, "compare", small, vary=["gate=windowed,open"])
    result = found["result"]
    assert [one["told"] for one in result["variants"]] == ["gate: windowed", "gate: open"]
    assert [one["letter"] for one in result["designs"]] == ["A", "B"]
    assert all("gate: windowed" in one["text"] for one in result["designs"][:1])
    assert result["sentences"]
    assert _files(page, found)["kits-designs.csv"].startswith(b"letter,design")


def test_a_job_that_waits_is_cancelled_and_then_taken_off_the_list(
    page: TestClient, small: str, home: Path
) -> None:
    first = _ask(page, "simulate", small, hours="100")
    second = _ask(page, "prove", small)
    assert page.delete(f"/api/jobs/{second}").json()["state"] == "cancelled"
    page.delete(f"/api/jobs/{first}")
    assert _ended(page, first)["job"]["state"] == "cancelled"
    assert (home / ".loopwright" / "jobs" / second).is_dir()
    page.delete(f"/api/jobs/{second}")
    assert page.get(f"/api/jobs/{second}").status_code == 404
    assert not (home / ".loopwright" / "jobs" / second).exists()
    assert second not in [one["id"] for one in page.get("/api/jobs").json()]


def test_a_task_that_does_not_stop_is_ended(
    page: TestClient, small: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(process, "GRACE", 0.0)
    job = _ask(page, "stress", small)
    while page.get(f"/api/jobs/{job}").json()["job"]["state"] == "waiting":
        time.sleep(0.02)
    page.delete(f"/api/jobs/{job}")
    assert _ended(page, job)["job"]["state"] == "cancelled"
    monkeypatch.undo()
    _done(page, "svg", small)  # by a new worker


@pytest.mark.parametrize(
    ("kind", "text", "options", "said"),
    [
        ("simulate", "", {"scenarios": ["none"]}, "no scenario 'none'"),
        ("film", "", {"span": "10 h"}, "change its span or speed"),
        ("trace", "", {"every": "1/1000000 s"}, "at most 100000"),
        ("compare", "", {"vary": ["row=" + ",".join(map(str, range(1, 202)))]}, "are too many"),
        ("compare", "", {"vary": ["equipment.belts.none.speed=1/s"]}, "does not stand here"),
        ("svg", "a: b\n", {}, "The design has errors."),
    ],
)
def test_what_cannot_be_done_is_told(
    page: TestClient, small: str, kind: str, text: str, options: dict[str, Any], said: str
) -> None:
    job = _ended(page, _ask(page, kind, text or small, **options))["job"]
    assert job["state"] == "failed"
    assert said in job["error"]
    assert bool(job["findings"]) == bool(text)


@pytest.mark.parametrize(
    ("kind", "options", "said"),
    [
        ("stress", {"outage": ["1 s"]}, "outage"),
        ("stress", {"outages": ["1 s", "2 apples"]}, "outages.1: "),
        ("stress", {"shortages": ["7"]}, "at most 1"),
        ("compare", {"vary": ["row"]}, "KEY=A,B is wanted"),
        ("simulate", {"hours": "-1"}, "more than 0"),
        ("film", {"start": "-1 s"}, "at least 0 s"),
        ("film", {"width": 10_000}, "width"),
        ("pdf", {"paper": "A0"}, "paper"),
    ],
)
def test_wrong_options_are_refused_at_once(
    page: TestClient, kind: str, options: dict[str, Any], said: str
) -> None:
    body = {"kind": kind, "file": "kits.yaml", "text": "", "options": options}
    answer = page.post("/api/jobs", json=body)
    assert answer.status_code == 422
    assert said in answer.json()["error"]


def test_pages_hear_how_a_job_goes(page: TestClient, small: str) -> None:
    with page.websocket_connect("ws://127.0.0.1:8460/api/events") as events:
        job = _ask(page, "svg", small)
        states = []
        while not states or states[-1] != "done":
            told = events.receive_json()
            if told["type"] == "job" and told["id"] == job:
                states.append(told["job"]["state"])
    assert states[0] == "waiting"
    assert "running" in states


def test_no_way_leads_out_of_a_job(page: TestClient, small: str, home: Path) -> None:
    found = _done(page, "svg", small)
    job = found["job"]["id"]
    (home / ".loopwright" / "jobs" / job / "files" / "link.svg").symlink_to("/etc/hostname")
    for name in ("..%2fjob.json", "link.svg", "%2fetc%2fpasswd", "none.svg"):
        assert page.get(f"/api/jobs/{job}/files/{name}").status_code == 404
    assert page.get("/api/jobs/..%2f..%2fkits.yaml").status_code == 404
    body = {"kind": "svg", "file": "../secret.yaml", "text": small}
    assert page.post("/api/jobs", json=body).status_code == 404


def test_the_same_twice_is_done_once(page: TestClient, small: str) -> None:
    first = _ask(page, "simulate", small, hours="100")
    assert _ask(page, "simulate", small, hours="100") == first
    other = _ask(page, "simulate", small, hours="101")
    assert other != first
    for job in (other, first):
        page.delete(f"/api/jobs/{job}")
    _ended(page, first)


def test_only_the_newest_of_a_kind_are_kept(page: TestClient, small: str, home: Path) -> None:
    made = []
    for number in range(6):
        made.append(_done(page, "dxf", f"{small}# {number}\n")["job"]["id"])
    kept = [one["id"] for one in page.get("/api/jobs").json() if one["kind"] == "dxf"]
    assert set(kept) <= set(made)
    assert made[-1] in kept
    assert len(kept) <= 5
    assert not (home / ".loopwright" / "jobs" / made[0]).exists()


def test_jobs_are_there_again_after_a_restart(folder: Path, small: str) -> None:
    with TestClient(build_app(folder, TOKEN), base_url=HOME, follow_redirects=False) as client:
        client.get(f"/?token={TOKEN}")
        client.headers["Origin"] = HOME
        done = _done(client, "svg", small)
        assert done["job"]["made"] <= done["job"]["begun"] <= done["job"]["ended"]
        running = _ask(client, "simulate", small, hours="100")
        waiting = _ask(client, "prove", small)
        while client.get(f"/api/jobs/{running}").json()["job"]["state"] != "running":
            time.sleep(0.02)
    for again in _open(folder):
        listed = {one["id"]: one for one in again.get("/api/jobs").json()}
        assert [listed[job]["begun"] is None for job in (running, waiting)] == [False, True]
        states = {job: one["state"] for job, one in listed.items()}
        assert states == {
            done["job"]["id"]: "done",
            running: "interrupted",
            waiting: "interrupted",
        }
        assert again.get(f"/api/jobs/{done['job']['id']}").json() == done
        _files(again, done)
