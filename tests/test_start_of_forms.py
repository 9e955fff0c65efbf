"""The start that lists every form: each of them can be taken, and none is missing anywhere."""

from __future__ import annotations

import re
from importlib.resources import files
from pathlib import Path
from typing import get_args

import pytest

import ringgeom as rg
from ringgeom.form.profiles import Inside, Outside

START = (files("ringgeom") / "starts" / "plain.toml").read_text(encoding="utf-8")
README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
PAGE = (files("ringgeom") / "page" / "static" / "forms.js").read_text(encoding="utf-8")


def words(side: object) -> list[str]:
    """The forms of one side as a design file writes them."""
    return [one.model_fields["form"].annotation.__args__[0] for one in get_args(get_args(side)[0])]


def written(side: str) -> dict[str, str]:
    """Every form of a side in the start, its remark marks taken off."""
    lines = [re.sub(r"^# ", "", line) for line in START.splitlines()]
    found = {}
    for n, line in enumerate(lines):
        if line.startswith(f"{side} = {{"):
            end = next(
                i
                for i in range(n, len(lines))
                if re.search(r"\}\s*(#.*)?$", lines[i])
                and "points = [" not in lines[i]
                and not lines[i].startswith("    ")
            )
            found[re.findall(r'form = "([\w-]+)"', line)[0]] = "\n".join(lines[n : end + 1])
    return found


@pytest.mark.parametrize(("side", "forms"), [("outside", Outside), ("inside", Inside)])
def test_every_form_is_in_the_start_the_readme_and_the_page(side: str, forms: object) -> None:
    assert sorted(written(side)) == sorted(words(forms))
    for word in words(forms):
        assert f"`{word}`" in README
        assert word in PAGE


@pytest.mark.parametrize("side", ["outside", "inside"])
def test_every_form_of_the_start_makes_a_ring_without_a_warning(side: str) -> None:
    for word, text in written(side).items():
        changed = re.sub(rf"(?m)^{side} = .*$", lambda _, to=text: to, START, count=1)
        job = rg.job(rg.design_from_text(changed))
        assert getattr(job.form, side).form == word
        assert {finding.level for finding in job.findings} <= {"note"}
