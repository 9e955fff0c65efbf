"""Every button that a finding offers is followed, on a ring that brings the finding."""

from __future__ import annotations

import pytest
import tomlkit
from engraving.texts import TEXT, engraving
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


ENGRAVED = {
    "thin-under-letters": {"depth_mm": 1.6},
    "letters-small": {"height_mm": 0.5, "font": "bold"},
    "letters-fine": {"font": "line", "line_mm": 0.05},
    "runs-off-face": {"centre_mm": 2.6},
    "text-too-long": {"text": "ROBIN AND WREN " * 6},
    "letters-fade": {"on": "outside", "floor": "flat", "height_mm": 4.5, "depth_mm": 0.1},
}


@pytest.mark.parametrize("code", ENGRAVED)
def test_a_button_cures_an_engraving(code: str) -> None:
    """As above, on a domed band; what is set is no shorter than nothing."""
    dome = 'outside = { form = "domed", rise_mm = 0.4 }'
    text = TEXT.format(ring=dome, rest=engraving(**ENGRAVED[code]))
    found = [one for one in rg.job(design_from_text(text)).findings if one.code == code]
    assert found
    offered = [fix for one in found for fix in fixes(one)]
    assert offered
    for fix in offered:
        assert fix.change.key[:2] == ("engraving", 0)
        after = rg.job(design_from_text(changed_text(text, [fix.change]))).findings
        assert code not in {one.code for one in after}, fix.words
