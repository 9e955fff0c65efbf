"""Every button that a finding offers is followed, on a ring that brings the finding."""

from __future__ import annotations

import pytest
import tomlkit
from test_findings import CASES

import ringgeom as rg
from ringgeom.design import Design, design_from_text
from ringgeom.findings.finding import RANK
from ringgeom.page.edits import changed_text
from ringgeom.page.fixes import fixes


@pytest.mark.parametrize(
    ("code", "asked"), [(code, asked) for code, _, asked in CASES], ids=[c[0] for c in CASES]
)
def test_a_button_cures_what_it_stands_at(code: str, asked: Design) -> None:
    """What it sets can be read, and the finding is gone or weighs less."""
    data = asked.model_dump(mode="json", by_alias=True, exclude_none=True, exclude_defaults=True)
    text = tomlkit.dumps(data)
    names = [part.name for part in asked.parts]
    before = rg.job(design_from_text(text)).findings
    for finding in before:
        if finding.code != code:
            continue
        for fix in fixes(finding, names):
            after = rg.job(design_from_text(changed_text(text, [fix.change]))).findings
            assert finding not in after, fix.words
            same = [
                one
                for one in after
                if (one.code, one.key, one.part) == (finding.code, finding.key, finding.part)
                and one not in before
            ]
            assert all(RANK[one.level] > RANK[finding.level] for one in same), fix.words


def test_many_findings_have_a_button() -> None:
    """The judging above judges something."""
    offered = set()
    for _, _, asked in CASES:
        names = [part.name for part in asked.parts]
        offered |= {one.code for one in rg.job(asked).findings if fixes(one, names)}
    assert len(offered) >= 18
