"""Designs on disk: opened, kept beside, saved; two pages do not overwrite each other silently."""

from __future__ import annotations

import errno
import os
from pathlib import Path
from typing import Any

import pytest
from page.pages import PLAIN, client
from starlette.testclient import TestClient

from ringgeom.output import one_file
from ringgeom.page.desk import Desk

DEEPER = PLAIN.replace("depth_mm = 0.8", "depth_mm = 0.9")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "plain.toml"
    path.write_text(PLAIN)
    return path


def opened(page: TestClient, **asked: str) -> Any:
    return page.get("state", params=asked).json()["opened"]


def test_the_page_opens_on_its_design_and_lists_the_others(file: Path) -> None:
    (file.parent / "other.toml").write_text(DEEPER)
    (file.parent / "shop.toml").write_text("[casting]\n")
    page = client(file.parent, "plain.toml")
    data = page.get("state").json()
    assert data["opened"]["text"] == PLAIN
    assert data["designs"] == ["other.toml", "plain.toml"]
    assert "waves" in data["kinds"]
    assert "opened" not in page.get("state?list=1").json()


def test_work_is_kept_beside_and_offered_back(file: Path) -> None:
    page = client(file.parent, "plain.toml")
    work = {"name": "plain.toml", "turn": 0, "text": DEEPER, "undo": [PLAIN], "when": "14:02"}
    assert page.post("keep", json=work).json() == {"turn": 1}
    assert file.read_text() == PLAIN
    again = opened(client(file.parent, "plain.toml"))  # the program was started anew
    assert again["kept"] == {"text": DEEPER, "when": "14:02", "undo": [PLAIN], "redo": []}
    page.post("forget", json={"name": "plain.toml"})
    assert opened(page)["kept"] is None
    assert [path.name for path in file.parent.iterdir()] == ["plain.toml"]


def test_saving_takes_the_kept_work_away(file: Path) -> None:
    page = client(file.parent, "plain.toml")
    first = opened(page)
    page.post("keep", json={"name": "plain.toml", "turn": 0, "text": DEEPER})
    sent = {"name": "plain.toml", "text": DEEPER, "stamp": first["stamp"]}
    assert page.post("save", json=sent).status_code == 200
    assert file.read_text() == DEEPER
    assert opened(page)["kept"] is None


def test_two_pages_do_not_overwrite_each_other(file: Path) -> None:
    page = client(file.parent, "plain.toml")
    first, second = opened(page), opened(page)
    keep = {"name": "plain.toml", "text": DEEPER}
    assert page.post("keep", json=keep | {"turn": first["turn"]}).status_code == 200
    assert page.post("keep", json=keep | {"turn": second["turn"]}).status_code == 409
    save = {"name": "plain.toml", "text": DEEPER, "stamp": first["stamp"]}
    assert page.post("save", json=save).status_code == 200
    late = save | {"text": PLAIN, "stamp": second["stamp"]}
    assert page.post("save", json=late).status_code == 409
    assert file.read_text() == DEEPER


def test_an_editor_beside_is_not_overwritten(file: Path) -> None:
    page = client(file.parent, "plain.toml")
    stamp = opened(page)["stamp"]
    file.write_text(PLAIN + "# by hand\n")
    late = {"name": "plain.toml", "text": DEEPER, "stamp": stamp}
    assert page.post("save", json=late).status_code == 409
    assert file.read_text().endswith("# by hand\n")


def test_a_new_design_is_named_after_its_job_and_overwrites_none(file: Path) -> None:
    page = client(file.parent)
    begun = opened(page, kind="waves")
    assert (begun["name"], begun["stamp"]) == ("", "")
    sent = {"name": "", "text": DEEPER, "stamp": ""}
    refused = page.post("save", json=sent)
    assert refused.status_code == 422
    assert "exists already" in refused.json()["problems"][0]["text"]
    new = {"name": "", "text": DEEPER.replace('"Plain"', '"Other one"'), "stamp": ""}
    assert page.post("save", json=new).json()["opened"]["name"] == "other-one.toml"
    assert "Other one" in (file.parent / "other-one.toml").read_text()


def test_a_text_that_cannot_be_read_is_not_saved(file: Path) -> None:
    page = client(file.parent, "plain.toml")
    sent = {"name": "plain.toml", "text": "[ring", "stamp": opened(page)["stamp"]}
    assert page.post("save", json=sent).status_code == 422
    assert file.read_text() == PLAIN


@pytest.mark.parametrize("left", [b"", b"{", b"[]", b'{"text": 3}', b"\xff", b"[" * 100_000])
def test_a_spoilt_recovery_file_does_no_harm(file: Path, left: bytes) -> None:
    (file.parent / ".plain.toml.bench").write_bytes(left)
    assert opened(client(file.parent, "plain.toml"))["kept"] is None


def test_a_design_that_cannot_be_read_opens_with_its_problems(file: Path) -> None:
    file.write_text("[ring]\nsize = 3\n")
    data = client(file.parent, "plain.toml").get("state").json()
    assert data["opened"]["text"].startswith("[ring]")
    assert data["view"]["problems"]


class Killed(BaseException):
    """Stands for the end of the program."""


@pytest.mark.parametrize("what", ["write", "fsync", "replace", "unlink"])
def test_killed_while_it_saves_the_file_is_the_old_or_the_new(
    file: Path, monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    """What was kept beside is offered again where the old file is; the next save clears up."""
    desk = Desk(file.parent, file.name)
    first = desk.opened(file.name)
    desk.keep(file.name, {"text": DEEPER}, 0)
    calls = {"write": one_file, "fsync": os, "replace": os, "unlink": os}
    name = "_ready" if what == "write" else what

    def dies(*_: Any) -> None:
        raise Killed

    with monkeypatch.context() as patched:
        patched.setattr(calls[what], name, dies)
        # what would tidy up is gone with the program
        patched.setattr(Path, "unlink", dies)
        with pytest.raises(Killed):
            desk.save(file.name, DEEPER, first.stamp, "Plain")
    saved = what == "unlink"
    assert file.read_text("utf-8") == (DEEPER if saved else PLAIN)
    again = Desk(file.parent, file.name)
    found = again.opened(file.name)
    assert found.kept == (None if saved else {"text": DEEPER, "when": "", "undo": [], "redo": []})
    again.save(file.name, DEEPER, found.stamp, "Plain")
    assert {path.name for path in file.parent.iterdir()} == {file.name}
    assert file.read_text("utf-8") == DEEPER


def test_no_room_to_save_is_told_and_loses_nothing(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = client(file.parent, file.name)
    first = opened(page)
    page.post("keep", json={"name": file.name, "turn": 0, "text": DEEPER})

    def full(*_: Any) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", full)
        sent = {"name": file.name, "text": DEEPER, "stamp": first["stamp"]}
        refused = page.post("save", json=sent)
    assert refused.status_code >= 400
    assert "No space left" in refused.text
    assert file.read_text("utf-8") == PLAIN
    assert opened(page)["kept"]["text"] == DEEPER
