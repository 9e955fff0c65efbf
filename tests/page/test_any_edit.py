"""Whatever is set in a design through the page, it answers: with a ring, or with what is wrong."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from page.pages import PLAIN, client
from starlette.testclient import TestClient

from ringgeom.design import Design

TALL = (Path(__file__).resolve().parents[2] / "designs" / "harbour.toml").read_text("utf-8")

WORDS = sorted(
    {
        word
        for model in json.loads(json.dumps(Design.model_json_schema()))["$defs"].values()
        for word in model.get("properties", {})
    }
)
"""Every key that a design knows."""

STEPS = st.sampled_from(["job", "ring", "body", "part", "engraving", *WORDS]) | st.integers(0, 4)
KEYS = st.lists(STEPS, min_size=1, max_size=4) | st.tuples(
    st.just("part"), st.integers(0, 2), st.sampled_from(WORDS)
).map(list)
NUMBERS = (
    st.floats(-1e3, 1e3)
    | st.sampled_from([0, -0.0, 1e-9, 1e308, -1e308, 5e-324, 2**63, 0.1, 2.0, 6])
    | st.integers(-5, 60)
)
TEXTS = st.text(max_size=12) | st.sampled_from(
    ["US 7", "ISO 54", "flat", "domed", "gold-750-green", "Au 75 Ag 25", "channel", "both", '"""']
)
VALUES = st.recursive(
    st.none() | st.booleans() | NUMBERS | TEXTS,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(WORDS) | st.text(max_size=4), inner, max_size=3)
    ),
    max_leaves=5,
)
ANYTHING = st.fixed_dictionaries({"key": KEYS, "value": VALUES})
LENGTHS = [
    ["ring", "width_mm"],
    ["ring", "thickness_mm"],
    ["ring", "edge_mm"],
    ["ring", "outside", "rise_mm"],
    ["ring", "inside", "rise_mm"],
    ["body", "proud_mm"],
    *(
        ["part", 0, *rest]
        for rest in (
            ["width_mm"], ["depth_mm"], ["centre_mm"], ["undercut_mm"], ["thickness_mm"],
            ["gap_mm"], ["gap_mm", "side"], ["gap_mm", "floor"], ["count"], ["slant_deg"],
        )
    ),
]  # fmt: skip
LIKELY = st.fixed_dictionaries(
    {
        "key": st.sampled_from(LENGTHS),
        "value": st.floats(-0.5, 8).map(lambda mm: round(mm, 2)) | st.integers(0, 12),
    }
)
WAVES = st.builds(
    lambda height, count: {
        "key": ["part", 0, "wave"],
        "value": {"amplitude_mm": round(height, 2), "count": count},
    },
    st.floats(0, 3),
    st.integers(1, 12),
)
CHANGES = st.lists(LIKELY | WAVES, min_size=1, max_size=4) | st.lists(
    ANYTHING, min_size=1, max_size=3
)
ANY = settings(
    max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
page: TestClient | None = None


@given(text=st.sampled_from([PLAIN, TALL]), changes=CHANGES, trying=st.booleans())
@ANY
def test_any_edit_is_answered(
    tmp_path: Path, text: str, changes: list[dict[str, Any]], trying: bool
) -> None:
    """Never a failure of the program; what it answers can be read back and shown again."""
    global page
    page = page or client(tmp_path)
    answer = page.post("look", json={"text": text, "changes": changes, "trying": trying})
    assert answer.status_code == 200
    shown = answer.json()
    if shown["problems"]:
        assert all(one["text"] for one in shown["problems"])
        assert "section" not in shown
        return
    again = page.post("look", json={"text": shown["text"], "trying": trying}).json()
    assert again == shown
    assert page.post("ring", json={"text": shown["text"], "quick": True}).status_code == 200


SENT = st.dictionaries(
    st.sampled_from(
        [
            "text",
            "changes",
            "quick",
            "name",
            "turn",
            "undo",
            "redo",
            "when",
            "stamp",
            "what",
            "part",
        ]
    ),
    VALUES | st.just(PLAIN),
    max_size=6,
)


@given(
    post=st.sampled_from(["look", "ring", "keep", "forget", "save", "take", "alloys"]), sent=SENT
)
@ANY
def test_anything_sent_is_answered_in_words(tmp_path: Path, post: str, sent: Any) -> None:
    """Only what the page itself sends is done; the rest is refused with a reason."""
    global page
    page = page or client(tmp_path)
    answer = page.post(post, json=sent)
    assert answer.status_code in (200, 400, 409, 422)
    if answer.status_code != 200:
        assert answer.json()["problems"][0]["text"]
