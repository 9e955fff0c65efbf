"""The page answers its own page on this machine and nobody else; it survives what is sent to it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from page.pages import HOME, PLAIN, TOKEN, client

from ringgeom.page import papers, shop_answers
from ringgeom.page.guard import LARGEST_BYTES

PAPERS = tuple(answer.__name__ for _, answer in (*papers.ASKED, *shop_answers.ASKED))
POSTS = ("look", "ring", "keep", "forget", "save", "take", "alloys", *PAPERS)


@pytest.mark.parametrize(
    "host", ["example.org", "127.0.0.1", "127.0.0.1:1", "localhost:80", "[::1]:8765", ""]
)
def test_another_name_is_not_answered(tmp_path: Path, host: str) -> None:
    answer = client(tmp_path).get("", headers={"host": host})
    assert answer.status_code == 421


@pytest.mark.parametrize("post", POSTS)
@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "https://example.org"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:1"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_another_page_may_not_ask(tmp_path: Path, post: str, headers: dict[str, str]) -> None:
    answer = client(tmp_path).post(post, json={"text": PLAIN}, headers=headers)
    assert answer.status_code == 403


@pytest.mark.parametrize("path", ["/", "/look", "/wrong-word/", "/static/page.css"])
def test_nothing_lies_outside_the_secret_word(tmp_path: Path, path: str) -> None:
    assert client(tmp_path).get(f"{HOME}{path}").status_code == 404


@pytest.mark.parametrize(
    "path",
    [
        "static/../app.py",
        "static/..%2fapp.py",
        "static/%2e%2e%2fapp.py",
        "static/nothing.js",
        "fonts/..%2f..%2ferrors.py",
        "fonts/LICENSE-source-sans-3.txt",
        "static/",
    ],
)
def test_no_other_file_is_given_out(tmp_path: Path, path: str) -> None:
    assert client(tmp_path).get(path).status_code == 404


@pytest.mark.parametrize("name", ["../secret.toml", "/etc/passwd", "secret.txt", "..", "a\0b"])
def test_a_name_from_the_page_is_no_path(tmp_path: Path, name: str) -> None:
    inner = tmp_path / "inner"
    inner.mkdir()
    (tmp_path / "secret.toml").write_text(PLAIN)
    page = client(inner)
    assert page.get("state", params={"name": name}).status_code == 422
    saved = page.post("save", json={"name": name, "text": PLAIN, "stamp": ""})
    kept = page.post("keep", json={"name": name, "text": PLAIN, "turn": 0})
    assert (saved.status_code, kept.status_code) == (422, 422)
    assert {path.name for path in tmp_path.rglob("*")} == {"inner", "secret.toml"}


def test_every_answer_is_kept_to_this_origin(tmp_path: Path) -> None:
    page = client(tmp_path)
    for path in ("", "static/main.js", "static/nothing", "state"):
        headers = page.get(path).headers
        assert headers["content-security-policy"].startswith("default-src 'self';")
        assert "unsafe" not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert "access-control-allow-origin" not in headers


def test_the_page_has_no_script_in_itself_and_asks_nobody_else(tmp_path: Path) -> None:
    text = client(tmp_path).get("").text
    assert "<script>" not in text
    assert "style=" not in text
    assert "://" not in text
    assert TOKEN not in text


def test_a_body_of_any_size_is_refused_early(tmp_path: Path) -> None:
    page = client(tmp_path)
    json_type = {"content-type": "application/json"}
    big = page.post("look", content=b"x" * (LARGEST_BYTES + 1), headers=json_type)
    assert big.status_code == 413

    def endless():  # type: ignore[no-untyped-def]
        for _ in range(100):
            yield b"x" * 1_000_000

    assert page.post("look", content=endless(), headers=json_type).status_code == 413
    lying = page.post("look", content=b"{}", headers=json_type | {"content-length": "-1"})
    assert lying.status_code == 413


@pytest.mark.parametrize("post", POSTS)
@pytest.mark.parametrize(
    "body", [b"", b"{", b"[]", b"null", b'{"text": 3}', b'{"text": "a", "more": 1}', b"\xff\xfe"]
)
def test_what_the_page_does_not_send_is_refused(tmp_path: Path, post: str, body: bytes) -> None:
    headers = {"content-type": "application/json"}
    answer = client(tmp_path).post(post, content=body, headers=headers)
    assert answer.status_code == 400
    assert answer.json()["problems"][0]["text"]


def test_a_form_of_another_page_is_no_json(tmp_path: Path) -> None:
    answer = client(tmp_path).post("look", content=b"{}", headers={"content-type": "text/plain"})
    assert answer.status_code == 415


@given(text=st.text(max_size=200) | st.sampled_from(["[" * 5000, "a = 1" * 3, "[ring]\n"]))
@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_text_is_answered_with_problems(tmp_path: Path, text: str) -> None:
    page = client(tmp_path)
    answer = page.post("look", json={"text": text, "changes": []})
    assert answer.status_code == 200
    assert answer.json()["problems"]
    changed = page.post("look", json={"text": text, "changes": [{"key": ["a", 0], "value": 1}]})
    assert changed.status_code == 200
    for post in ("ring", "take", "melts", "making", "sheet", "listed", "to_send", "grid"):
        assert page.post(post, json={"text": text}).status_code == 422
