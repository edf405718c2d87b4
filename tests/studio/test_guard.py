"""Who may speak with the studio. Each test fails where its check is left out."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from loopwright.studio import guard
from loopwright.studio.guard import Bucket, Guard
from loopwright.studio.server import build_app
from tests.studio.conftest import HOME, TOKEN


def test_the_link_is_changed_for_a_cookie(stranger: TestClient) -> None:
    answer = stranger.get(f"/?token={TOKEN}")
    assert answer.status_code == 303
    assert answer.headers["location"] == "/"
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert TOKEN not in cookie
    assert stranger.get("/api/studio").status_code == 200


def test_without_the_link_everything_is_closed(stranger: TestClient, demo: str) -> None:
    page = stranger.get("/")
    assert page.status_code == 403
    assert "?token=" in page.text
    assert stranger.get("/?token=another").status_code == 403
    assert stranger.get("/api/files").status_code == 403
    assert stranger.get("/assets/main.js").status_code == 403
    stranger.cookies.set("loopwright", TOKEN)  # the token of the link is not the cookie
    assert stranger.get("/api/files").status_code == 403


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "localhost:8x", ""])
def test_names_of_other_hosts_are_refused(client: TestClient, host: str) -> None:
    answer = client.get("/api/studio", headers={"Host": host})
    assert answer.status_code == 400


def test_another_name_of_this_machine_is_fine(client: TestClient) -> None:
    assert client.get("/api/studio", headers={"Host": "127.0.0.1:9"} | _from(9)).status_code == 200


def _from(port: int) -> dict[str, str]:
    return {"Origin": f"http://127.0.0.1:{port}"}


@pytest.mark.parametrize("origin", ["http://evil.example", "http://127.0.0.1:9", "null", None])
def test_pages_of_other_origins_change_nothing(
    client: TestClient, folder: Path, origin: str | None
) -> None:
    del client.headers["Origin"]
    headers = {} if origin is None else {"Origin": origin}
    assert client.post("/api/files", json={"name": "a"}, headers=headers).status_code == 403
    assert client.put("/api/files/a.yaml", json={}, headers=headers).status_code == 403
    assert client.delete("/api/jobs/a", headers=headers).status_code == 403
    assert not (folder / "a.yaml").exists()


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_pages_of_other_origins_read_nothing(client: TestClient, site: str) -> None:
    del client.headers["Origin"]
    assert client.get("/api/studio", headers={"Sec-Fetch-Site": site}).status_code == 403
    assert client.get("/api/studio", headers={"Sec-Fetch-Site": "same-origin"}).status_code == 200


@pytest.mark.parametrize("origin", ["http://evil.example", "http://127.0.0.1:9", None])
def test_sockets_of_other_origins_are_refused(client: TestClient, origin: str | None) -> None:
    del client.headers["Origin"]
    headers = {} if origin is None else {"Origin": origin}
    with pytest.raises(WebSocketDisconnect), client.websocket_connect("/api/events", headers):
        pass


def test_sockets_of_other_hosts_are_refused(client: TestClient) -> None:
    headers = {"Host": "evil.example", "Origin": "http://evil.example"}
    with pytest.raises(WebSocketDisconnect), _socket(client, headers):
        pass


def test_sockets_without_the_cookie_are_refused(stranger: TestClient) -> None:
    with pytest.raises(WebSocketDisconnect), _socket(stranger, {"Origin": HOME}):
        pass


def test_sockets_of_our_pages_open(client: TestClient) -> None:
    with _socket(client, {}):
        pass


def test_there_are_only_so_many_sockets(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(guard, "MOST_SOCKETS", 1)
    with _socket(client, {}), pytest.raises(WebSocketDisconnect), _socket(client, {}):
        pass
    with _socket(client, {}):
        pass


def _socket(client: TestClient, headers: dict[str, str]):
    return client.websocket_connect("ws://127.0.0.1:8460/api/events", headers=headers)


def test_every_answer_says_what_a_page_may_do(client: TestClient) -> None:
    for address in ("/", "/api/studio", "/api/none", "/none", "/?token=wrong"):
        headers = client.get(address).headers
        policy = headers["content-security-policy"]
        assert "default-src 'self'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "script-src 'self';" in policy
        assert "unsafe-eval" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"


def test_a_body_that_is_too_large_is_not_read(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(guard, "MOST_BODY", 1000)
    read = []

    async def take(request: Request) -> Response:
        read.append(await request.body())
        return JSONResponse({})

    app = Guard(Starlette(routes=[Route("/", take, methods=["POST"])]), TOKEN, "loopwright")
    with TestClient(app, base_url=HOME, follow_redirects=False) as client:
        client.get(f"/?token={TOKEN}")
        announced = client.post("/", content=b"x" * 1001, headers={"Origin": HOME})
        assert announced.status_code == 413
        assert "too much at once" in announced.json()["error"]
        pieces = (b"x" * 100 for _ in range(20))
        streamed = client.post("/", content=pieces, headers={"Origin": HOME})
        assert streamed.status_code == 413
        assert "too much at once" in streamed.text
        assert read == []
        assert client.post("/", content=b"x" * 1000, headers={"Origin": HOME}).status_code == 200


def test_a_flood_is_dammed() -> None:
    time = [0.0]
    bucket = Bucket(burst=3, steady=2, clock=lambda: time[0])
    assert [bucket.take() for _ in range(4)] == [True, True, True, False]
    time[0] = 0.5
    assert [bucket.take() for _ in range(2)] == [True, False]


def test_a_flood_gets_a_kind_answer(folder: Path) -> None:
    door = Guard(build_app(folder, TOKEN), TOKEN, "loopwright", Bucket(burst=3, steady=0))
    with TestClient(door, base_url=HOME, follow_redirects=False) as client:
        answers = [client.get("/") for _ in range(4)]
    assert [answer.status_code for answer in answers] == [403, 403, 403, 429]
    assert "try again" in answers[-1].json()["error"]


AWAY = [
    "/api/files/../secret.yaml",
    "/api/files/..%2fsecret.yaml",
    "/api/files/%2e%2e%2fsecret.yaml",
    "/api/files/..%5csecret.yaml",
    "/api/files/....%2f%2fsecret.yaml",
    "/api/files/%2fetc%2fpasswd",
    "/api/files/..%252fsecret.yaml",
    "/api/files/kits.yaml%00",
    "/..%2fserver.py",
    "/../server.py",
    "/%2e%2e/server.py",
    "/api/files/../secret.yaml/history",
    "/api/files/kits.yaml/history/..%2f..%2f..%2f..%2fsecret.yaml",
]


@pytest.mark.parametrize("address", AWAY)
def test_no_way_leads_out_of_the_folder(client: TestClient, demo: str, address: str) -> None:
    answer = client.get(address)
    assert answer.status_code == 404
    assert "secret" not in answer.text.replace("secret.yaml", "")


def test_hidden_files_and_other_kinds_are_not_files(client: TestClient, folder: Path) -> None:
    for name in (".hidden.yaml", "notes.txt", "a.yaml.part"):
        (folder / name).write_text("a: b\n", "utf-8")
        assert client.get(f"/api/files/{name}").status_code == 404
    assert client.get("/api/files").json() == []


def test_links_are_not_followed(client: TestClient, folder: Path) -> None:
    (folder / "link.yaml").symlink_to(folder.parent / "secret.yaml")
    assert client.get("/api/files").json() == []
    assert client.get("/api/files/link.yaml").status_code == 403
    body = {"text": "a: b\n", "base": "x"}
    assert client.put("/api/files/link.yaml", json=body).status_code == 403
    assert client.put("/api/files/link.yaml", json=body | {"base": ""}).status_code == 403
    assert client.post("/api/files", json={"name": "link"}).status_code == 403
    assert (folder.parent / "secret.yaml").read_text("utf-8") == "secret: yes\n"


def test_what_the_studio_keeps_stays_in_the_folder(client: TestClient, folder: Path) -> None:
    outside = folder.parent / "outside"
    outside.mkdir()
    (folder / ".loopwright").symlink_to(outside, target_is_directory=True)
    assert client.post("/api/files", json={"name": "a"}).status_code == 403
    assert list(outside.iterdir()) == []


def test_a_pipe_is_not_waited_for(client: TestClient, folder: Path) -> None:
    import os

    os.mkfifo(folder / "pipe.yaml")
    assert client.get("/api/files").json() == []


def test_each_studio_has_its_own_cookie(folder: Path) -> None:
    first, second = (Guard(build_app(folder, TOKEN), TOKEN, "loopwright") for _ in range(2))
    assert first.cookie != second.cookie
