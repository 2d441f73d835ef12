"""The JSON interface: roles, sessions, hostile requests, operations, checks; every error is a problem in words."""

from __future__ import annotations

import base64
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

from support.operations import DEVICES, tick
from support.serving import opened, show_copy
from tailboard.record.operations import Operation
from tailboard.record.waitingtext import waiting_text
from tailboard.web.access import GUESSES_MAX, WRITES_AT_ONCE, Access, Buckets, Keys, keys_of
from tailboard.web.guard import BODY_MAX_BYTES
from tailboard.web.running import Open

KEYS = Keys("ab" * 32, "t" * 20)


@pytest.fixture(scope="module")
def show(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Open]:
    with opened(show_copy(tmp_path_factory.mktemp("show"))) as made:
        yield made


@pytest.fixture
def page(show: Open) -> Iterator[httpx.Client]:
    """A page that may look."""
    show.served.access.guesses = Buckets(1, GUESSES_MAX, lambda: 0.0)
    with httpx.Client(base_url=show.address, timeout=10, trust_env=False) as client:
        yield client


@pytest.fixture
def phone(show: Open, page: httpx.Client) -> httpx.Client:
    """A page that may tick."""
    answer = page.post("/api/join", json={"token": show.served.access.keys.tick})
    assert answer.json()["role"] == "tick"
    page.headers["x-tailboard"] = answer.json()["csrf"]
    return page


def told(one: Operation) -> dict[str, Any]:
    found = {name: getattr(one, name) for name in Operation.__slots__}
    return {**found, "replaces": list(one.replaces), "photo": base64.b64encode(one.photo).decode()}


def is_problem(answer: Any, status: int, words: str = "") -> bool:
    body = answer.json()
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    assert set(body) == {"type", "title", "status", "detail"}
    assert body["status"] == status
    return words in body["detail"]


def test_looking_needs_nothing_and_ticking_needs_the_scan(page: httpx.Client) -> None:
    assert page.get("/api/session").json() == {"role": "look", "csrf": ""}
    assert page.get("/api/line-check").status_code == 200
    assert is_problem(page.post("/api/ops", json={"operations": [told(tick())]}), 403, "scan the code")


def test_a_tick_is_acknowledged_once_and_seen_by_all(show: Open, phone: httpx.Client) -> None:
    before = show.served.record.cursor
    one = told(tick("one1one1one", 1, "line 5", "fault", words="<script>alert(1)</script>"))
    first, again = (phone.post("/api/ops", json={"operations": [one]}).json() for _ in range(2))
    assert first["acknowledged"] == again["acknowledged"] == ["one1one1one-1"]
    assert first["cursor"] == again["cursor"] == before + 1
    rows = {row["key"]: row for place in phone.get("/api/line-check").json()["places"] for row in place["rows"]}
    assert rows["line 5"]["noted"]["state"] == "fault"
    assert rows["line 5"]["noted"]["notes"][0]["words"] == "<script>alert(1)</script>"
    listed = phone.get(f"/api/ops?since={before}").json()
    assert [one["id"] for one in listed["operations"]] == ["one1one1one-1"]
    assert listed["cursor"] == before + 1


def test_two_who_differ_are_both_shown(phone: httpx.Client) -> None:
    ops = [told(tick(DEVICES[0], 91, "line 6", "pass")), told(tick(DEVICES[1], 91, "line 6", "fault"))]
    phone.post("/api/ops", json={"operations": ops})
    rows = {row["key"]: row for place in phone.get("/api/line-check").json()["places"] for row in place["rows"]}
    assert rows["line 6"]["noted"]["state"] == "conflict"
    assert rows["line 6"]["noted"]["says"] == "Ann: pass; Ben: fault"


def test_a_sheet_of_paper_is_typed_in(show: Open, phone: httpx.Client) -> None:
    version = show.served.shown.model.heading.version
    ops = [told(tick("paper1paper1", 1, "line 3", source="paper", plan_version=version)),
           told(tick("paper1paper1", 2, "line 4", source="paper", plan_version="0"))]  # fmt: skip
    phone.post("/api/ops", json={"operations": ops})
    rows = {row["key"]: row for place in phone.get("/api/line-check").json()["places"] for row in place["rows"]}
    assert rows["line 3"]["noted"]["notes"][0]["stale"] == ""
    assert "noted against version 0" in rows["line 4"]["noted"]["notes"][0]["stale"]


def test_ticks_that_wait_on_a_phone_are_typed_in(phone: httpx.Client) -> None:
    text = waiting_text([tick("wait1wait1wa", count, f"line {count}") for count in (8, 9)])
    answer = phone.post("/api/ops/text", json={"text": text}).json()
    assert answer["acknowledged"] == ["wait1wait1wa-8", "wait1wait1wa-9"]
    wrong = phone.post("/api/ops/text", json={"text": text.replace("line 9", "line 8")}).json()
    assert wrong["acknowledged"] == []
    assert "line 3 does not match its check sum" in wrong["faults"][0]


def test_a_picture_comes_back_as_what_it_is(phone: httpx.Client) -> None:
    picture = b"\xff\xd8\xff<script>"
    phone.post("/api/ops", json={"operations": [told(tick("photo1photo1", 1, "line 2", "fault", photo=picture))]})
    answer = phone.get("/api/photos/photo1photo1-1")
    assert answer.content == picture
    assert answer.headers["content-type"] == "image/jpeg"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert is_problem(phone.get("/api/photos/photo1photo1-2"), 404)
    refused = phone.post("/api/ops", json={"operations": [told(tick("photo1photo1", 3)) | {"photo": "!!"}]}).json()
    assert refused["refused"] == [{"id": "photo1photo1-3", "why": "the picture is neither JPEG nor PNG"}]


def test_a_verdict_of_another_sort_is_refused_alone(phone: httpx.Client) -> None:
    ops = [told(tick("sort1sort1so", 1)) | {"verdict": "heard"}, told(tick("sort1sort1so", 2))]
    answer = phone.post("/api/ops", json={"operations": ops}).json()
    assert answer["acknowledged"] == ["sort1sort1so-2"]
    assert answer["refused"][0]["id"] == "sort1sort1so-1"


def test_the_record_goes_out(phone: httpx.Client) -> None:
    assert phone.get("/api/record.json").json()["schema"] == "tailboard/record/1"
    assert phone.get("/api/record.csv").content.startswith("\ufeffnumber,id,sort".encode())


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1", "127.0.0.1:1", "10.0.0.1:80", ""])
def test_another_host_is_not_answered(page: httpx.Client, host: str) -> None:
    """A name of the attacker's that points at this machine must get nothing (DNS rebinding)."""
    assert is_problem(page.get("/api/state", headers={"host": host}), 421, "does not answer to that name")


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_another_origin_changes_nothing(phone: httpx.Client, headers: dict[str, str]) -> None:
    assert is_problem(phone.post("/api/ops", json={"operations": []}, headers=headers), 403, "another address")


@pytest.mark.parametrize("proof", ["", "x", "0" * 32])
def test_without_its_proof_a_session_changes_nothing(phone: httpx.Client, proof: str) -> None:
    assert is_problem(
        phone.post("/api/ops", json={"operations": []}, headers={"x-tailboard": proof}), 403, "open it again"
    )


def test_a_form_of_another_page_is_no_json(phone: httpx.Client) -> None:
    answer = phone.post("/api/ops", content=b'{"operations": []}', headers={"content-type": "text/plain"})
    assert is_problem(answer, 422)


@pytest.mark.parametrize(
    "cookie", ["", "x", "tick.a.9999999999.00", "edit.a.b.c", "....", "tick.\u00e4.1.", "a" * 5000]
)
def test_a_cookie_of_ones_own_making_is_nobodys(page: httpx.Client, cookie: str) -> None:
    answer = page.get("/api/session", headers={b"cookie": f"tailboard={cookie}".encode()})
    assert answer.json()["role"] == "look"


def test_a_role_cannot_be_changed_in_the_cookie() -> None:
    access = Access(KEYS, lambda: 100.0)
    cookie = access.join("a", KEYS.tick)
    assert cookie is not None
    assert access.session(cookie).role == "tick"
    assert access.session(cookie.replace("tick", "edit", 1)).role == "look"


def test_a_session_ends_with_its_time_and_outlives_a_restart() -> None:
    now = [100.0]
    cookie = Access(KEYS, lambda: now[0]).join("a", KEYS.tick) or ""
    assert Access(KEYS, lambda: now[0]).session(cookie).role == "tick"
    now[0] += 15 * 24 * 3600
    assert Access(KEYS, lambda: now[0]).session(cookie).role == "look"


def test_guessing_is_stopped(show: Open, page: httpx.Client) -> None:
    for _ in range(GUESSES_MAX):
        assert is_problem(page.post("/api/join", json={"token": "wrong"}), 403, "scan the one")
    assert is_problem(page.post("/api/join", json={"token": "wrong"}), 429, "wait a minute")
    assert is_problem(page.post("/api/unlock", json={"code": show.code}), 429)


def test_the_code_for_editing(show: Open, page: httpx.Client) -> None:
    assert is_problem(page.post("/api/unlock", json={"code": "0"}), 403)
    assert page.post("/api/unlock", json={"code": f"{show.code[:4]} {show.code[4:]}"}).json()["role"] == "edit"
    assert page.get("/api/session").json()["role"] == "edit"


def test_writing_too_fast_is_held_back(show: Open, phone: httpx.Client) -> None:
    show.served.access.writes = Buckets(1, 5, lambda: 0.0)
    codes = [phone.post("/api/ops", json={"operations": []}).status_code for _ in range(7)]
    assert codes == [200] * 5 + [429] * 2
    show.served.access.writes = Buckets(20, WRITES_AT_ONCE, lambda: 0.0)


def test_an_oversize_body_is_refused_whatever_length_it_says(phone: httpx.Client) -> None:
    assert is_problem(phone.post("/api/ops", content=b" " * (BODY_MAX_BYTES + 1)), 413)
    parts = (b" " * 100_000 for _ in range(BODY_MAX_BYTES // 100_000 + 2))
    assert is_problem(phone.post("/api/ops", content=parts), 413)


@pytest.mark.parametrize(
    "body",
    [
        b"", b"{", b"[]", b"null", b'{"operations": 1}', b'{"operations": [{}]}', b"\xff\xfe", b"[" * 100_000,
        b'{"operations": [{"device": "\\ud800"}]}', b'{"operations": [], "more": 1}', b'{"operations": [NaN]}',
        b'{"operations": [' + b"9" * 5000 + b"]}", json.dumps({"operations": [{}] * 201}).encode(),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_a_problem(phone: httpx.Client, body: bytes) -> None:
    answer = phone.post("/api/ops", content=body, headers={"content-type": "application/json"})
    assert answer.status_code in {400, 422}
    assert is_problem(answer, answer.status_code)


@pytest.mark.parametrize(
    "path",
    ["/static/../app.py", "/static/%2e%2e/app.py", "/static/..%2fapp.py", "/static//etc/passwd", "/log/access.json"],
)
def test_no_file_but_the_pages_own(page: httpx.Client, path: str) -> None:
    assert is_problem(page.get(path), 404)


@pytest.mark.parametrize("path", ["/lines/%00", "/things/%ff", "/claims/<script>alert(1)</script>", "/find?q=%00%ff<script>", "/feeds/" + "x" * 5000,
                                  "/map?over=fails&what=<script>", "/lines?place=%f0%9f"])  # fmt: skip
def test_hostile_names_are_shown_as_text(page: httpx.Client, path: str) -> None:
    answer = page.get(path)
    assert answer.status_code in {200, 404}
    assert "<script>alert" not in answer.text


@pytest.mark.parametrize("path", ["/", "/api/state", "/static/outbox.js", "/nothing", "/check"])
def test_every_answer_has_the_strict_policy(page: httpx.Client, path: str) -> None:
    headers = page.get(path).headers
    assert "default-src 'none'" in headers["content-security-policy"]
    assert "unsafe" not in headers["content-security-policy"]
    assert headers["referrer-policy"] == "no-referrer"
    assert headers["x-frame-options"] == "DENY"


def test_no_page_holds_script_or_style_of_its_own(page: httpx.Client) -> None:
    for path in ("/", "/map", "/lines", "/lines/7", "/feeds", "/check"):
        html = page.get(path).text
        assert "<script>" not in html
        assert " onclick" not in html


def test_keys_are_for_their_owner_alone(tmp_path: Path) -> None:
    keys = keys_of(tmp_path)
    assert keys_of(tmp_path) == keys
    assert (tmp_path / "access.json").stat().st_mode & 0o077 == 0
    (tmp_path / "access.json").write_text('{"secret": "short", "tick": "x"}')
    assert len(keys_of(tmp_path).secret) == 64


def test_the_description_names_every_address(page: httpx.Client) -> None:
    described = page.get("/api/openapi.json").json()
    assert described["openapi"].startswith("3.")
    assert {"/api/ops", "/api/ops/text", "/api/join", "/api/unlock", "/api/line-check", "/api/state"} <= set(
        described["paths"]
    )
    assert all(path.startswith("/api/") for path in described["paths"])
