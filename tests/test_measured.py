"""`measured`: castings that shrank by a known share teach that share, and nothing by themselves."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import ringgeom as rg
from ringgeom.afterwards import measured
from ringgeom.errors import InputError, OutputError
from ringgeom.jobs import Job
from ringgeom.output.readings_form import form_text
from ringgeom.output.shop_file import shop_text
from ringgeom.reading import model_from_text
from ringgeom.readings import CastingRead, LedgerRead, Readings, read_readings
from ringgeom.shop import shop_from_text

Run = Callable[..., Any]
ROOT = Path(__file__).parents[1]
DAY = datetime.date(2026, 11, 20)
HERON = rg.job(rg.read_design(ROOT / "designs/heron.toml"))
HARBOUR = rg.job(rg.read_design(ROOT / "designs/harbour.toml"))
YELLOW = "gold-750-yellow-3n"


def cast(job: Job, name: str, percent: float, *, scale: float | None = None) -> CastingRead:
    """A casting whose metal shrank by a known share of its pattern; grams of sound metal."""
    part = next(part for part in job.parts if part.name == name)
    used = part.scale.scale if scale is None else scale
    left = (1 - percent / 100) * used / part.scale.scale
    volume = part.cast_mm3 * (left * part.scale.scale) ** 3
    closed = part.cast_piece.sector is None
    return CastingRead(
        part=name,
        scale=scale,
        bore_mm=part.wax.bore_mm * left if closed else None,
        outside_mm=part.wax.outside_mm * left if closed else None,
        width_mm=part.wax.width_mm * left,
        weight_g=volume * part.alloy.density_g_cm3 / 1000,
    )


def read(*castings: CastingRead, ledgers: tuple[LedgerRead, ...] = ()) -> Readings:
    return Readings(date=DAY, castings=castings, ledgers=ledgers)


@given(st.floats(0.2, 3.0), st.sampled_from(["body", "reed"]))
def test_a_known_shrink_is_proposed(percent: float, name: str) -> None:
    found = measured(HERON, read(*[cast(HERON, name, percent)] * 3))
    (proposal,) = found.proposals
    # written to 0.01
    assert proposal.percent == pytest.approx(percent, abs=0.005001)
    assert proposal.trusted
    assert all(one.agree for one in found.shrinkages)
    assert all(one.weight is not None and one.weight.points_to == () for one in found.shrinkages)


@given(st.floats(0.2, 3.0), st.floats(0.98, 1.05))
def test_the_scale_of_the_pattern_counts_not_the_shops_of_today(
    percent: float, scale: float
) -> None:
    found = measured(HERON, read(cast(HERON, "body", percent, scale=scale)))
    assert found.shrinkages[0].percent == pytest.approx(percent, abs=1e-9)  # rounding


def test_what_it_learnt_gives_the_right_ring_next_time() -> None:
    """Derived: with the shrink taken in, a casting that shrinks like that is the one wanted."""
    learnt = measured(HERON, read(*[cast(HERON, "body", 1.6)] * 3)).learnt()
    again = rg.job(HERON.design, learnt)
    part = next(part for part in again.parts if part.name == "body")
    old = next(part for part in HERON.parts if part.name == "body")
    assert part.scale.cast_percent == 1.6
    assert part.wax.bore_mm * (1 - 0.016) == pytest.approx(
        old.wax.bore_mm / old.scale.scale, rel=1e-12
    )
    # a weight needs no shrink
    assert part.finished_g == old.finished_g


def test_a_pattern_measured_itself_parts_the_two_shrinks() -> None:
    """Derived: the print 0.5 % small, the metal 1.3 % on top."""
    part = next(part for part in HERON.parts if part.name == "body")
    wax = {f"wax_{w}_mm": getattr(part.wax, f"{w}_mm") * 0.995 for w in ("bore", "outside")}
    got = {f"{w}_mm": wax[f"wax_{w}_mm"] * 0.987 for w in ("bore", "outside")}
    found = measured(HERON, read(CastingRead(part="body", **wax, **got)))
    assert found.shrinkages[0].percent == pytest.approx(1.3, abs=1e-9)
    assert found.pattern_percent == (pytest.approx(0.5, abs=1e-9),)


def test_segments_are_read_across_their_width() -> None:
    found = measured(HARBOUR, read(cast(HARBOUR, "plank 1", 1.4), cast(HARBOUR, "plank 2", 1.4)))
    assert {one.alloy_name for one in found.proposals} == {YELLOW, "gold-750-red-5n"}
    with pytest.raises(InputError, match="not a closed ring: a calliper cannot read its bore"):
        measured(HARBOUR, read(CastingRead(part="plank 1", bore_mm=18.0)))


def test_the_ledger_closes_and_teaches_the_loss() -> None:
    """Derived: 0.3 of 15 g unexplained is 2 %."""
    kept = LedgerRead(
        alloy=YELLOW, issued_g=15.0, in_ring_g=7.6, clean_returns_g=6.0, filings_g=1.1
    )
    found = measured(HERON, read(ledgers=(kept,)))
    (one,) = found.ledgers
    assert one.unexplained_g == pytest.approx(0.3, abs=1e-9)
    assert found.loss is not None
    assert found.loss.percent == 2.0
    learnt = found.learnt().casting
    assert learnt.melt_loss_percent == 2.0
    assert learnt.melt_loss_from is not None
    assert (learnt.melt_loss_from.melts, learnt.melt_loss_from.issued_g) == (1, 15.0)
    assert found.words == ()


def test_another_rings_weight_is_asked_about() -> None:
    kept = LedgerRead(
        alloy=YELLOW, issued_g=15.0, in_ring_g=4.9, clean_returns_g=6.0, filings_g=4.0
    )
    assert any("another unit?" in words for words in measured(HERON, read(ledgers=(kept,))).words)


NEW = ("melt_loss", f'"{YELLOW}', f"[shrink.alloy.{YELLOW}", "per", "cast", "date")
SHOPS = (
    "",
    "# mine\n[shrink]\ngold = 1.3  # by guess\n\n# stock\n[stock]\nbore_mm = 0.1\n",
    f'[shrink.alloy]\n"{YELLOW}" = 1.4  # by hand\n\n[casting]\nbutton_min_g = 5\n\n# end\n',
    "shrink.gold = 1.3\n\n[casting]\nmelt_loss_percent = 0.8\n[stock]\nbore_mm = 0.1\n",
    f"[shrink.alloy.{YELLOW}]\npercent = 1.2\ncastings = 2\ndate = 2026-01-02\n",
)


@pytest.mark.parametrize("text", SHOPS)
def test_the_shop_file_takes_the_figures_in(text: str) -> None:
    kept = LedgerRead(
        alloy=YELLOW, issued_g=15.0, in_ring_g=7.6, clean_returns_g=6.0, filings_g=1.1
    )
    job = rg.job(HERON.design, shop_from_text(text))
    found = measured(job, read(cast(job, "body", 1.7), ledgers=(kept,)))
    changed = shop_text(text, found)
    shop = shop_from_text(changed)
    assert shop == found.learnt()
    assert shop.casting.melt_loss_percent == 2.0
    before = job.shop.shrink.alloy.get(YELLOW)
    count = 0 if before is None else before.castings
    assert shop.shrink.alloy[YELLOW].castings == count + 1
    assert shop.shrink.alloy[YELLOW].date == DAY
    # nothing else moves: every other line is there still, in its order
    lines = iter(changed.splitlines())
    kept_lines = [line for line in text.splitlines() if not line.startswith(NEW)]
    assert all(line in lines for line in kept_lines)
    # and the remark over the next table stays over it
    if "# stock" in text:
        assert "# stock\n[stock]" in changed


def test_a_shop_file_that_cannot_be_changed_says_what_to_write() -> None:
    text = "shrink = { gold = 1.3 }\n"
    job = rg.job(HERON.design, shop_from_text(text))
    with pytest.raises(OutputError, match=r"write into it: \[shrink.alloy\] \"gold-750-yellow-3n"):
        shop_text(text, measured(job, read(cast(job, "body", 1.7))))


def test_the_form_is_read_and_says_nothing_yet(design_file: Path, job_of: Any) -> None:
    job = job_of(design_file)
    form = form_text(job, DAY)
    empty = model_from_text(form, Readings)
    assert [one.part for one in empty.castings] == [part.name for part in job.parts]
    with pytest.raises(InputError, match="nothing was read on any casting"):
        measured(job, empty)
    # filled in with what is expected, all is as expected
    filled = "\n".join(
        line.removeprefix("# ") if " = " in line or "[[" in line else line
        for line in form.splitlines()
    )
    found = measured(job, model_from_text(filled, Readings))
    assert not found.not_read
    for one in found.shrinkages:
        assert one.weight is not None
        assert one.weight.points_to == (), one.words
        assert one.agree is not False
    for kept in found.ledgers:
        assert kept.verdict == "as predicted"


def test_accepting_writes_both_files_once(run: Run, tmp_path: Path) -> None:
    shop, readings = tmp_path / "shop.toml", tmp_path / "read.toml"
    shop.write_text("# ours\n[stock]\nbore_mm = 0.1\n")
    demo = ROOT / "designs/shop/heron-readings.toml"
    readings.write_bytes(demo.read_bytes())
    words = ("measured", ROOT / "designs/heron.toml", readings, "--shop", shop)
    before = run(*words)
    assert before.code == 0
    assert "nothing is changed until it is accepted" in before.out
    assert shop.read_text() == "# ours\n[stock]\nbore_mm = 0.1\n"
    done = run(*words, "--accept", "--json")
    assert done.code == 0, done.err
    told = json.loads(done.out)
    assert told["accepted"] is True
    taken = {one["alloy"]: one["percent"] for one in told["proposals"]}
    now = shop_from_text(shop.read_text())
    assert {name: one.percent for name, one in now.shrink.alloy.items()} == taken
    assert now.shrink.alloy[YELLOW].castings == 3
    assert shop.read_text().startswith("# ours\n")
    assert "accepted = 2026-11-24" in readings.read_text()
    again = run(*words, "--accept")
    assert again.code == 2
    assert "readings count once" in again.err
    assert shop_from_text(shop.read_text()) == now
    later = run(*words)
    assert later.code == 0
    assert "took these readings in on 2026-11-24" in later.out


def test_the_demo_castings(run: Run) -> None:
    """Golden, looked at: three bodies near 1.55 %, one of them with pores."""
    done = run(
        "measured", ROOT / "designs/heron.toml", ROOT / "designs/shop/heron-readings.toml", "--json"
    )
    told = json.loads(done.out)
    assert [one["percent"] for one in told["proposals"]] == [1.55, 1.62]
    causes = [one["weight"]["points_to"] for one in told["castings"]]
    assert causes == [[], ["pores"], [], []]
    assert [one["verdict"] for one in told["ledgers"]] == [
        "more than predicted",
        "as predicted",
        "as predicted",
        "as predicted",
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[[casting]]\npart = "body"\nbore_mm = 0.672\n', "inches"),
        ('[[casting]]\npart = "body"\nbore_mm = 8.54\n', "the bore looks like a radius"),
        ('[[casting]]\npart = "bodi"\nbore_mm = 17.0\n', "nearest: body"),
        ('[[casting]]\npart = "reed"\nbore_mm = 17.0\nwidth_mm = 6.3\n', "another part"),
        ('[[casting]]\npart = "body"\nbore_mm = -17.0\n', "more than 0"),
        ('[[casting]]\npart = "body"\nbore = 17.0\n', "nearest: bore_mm"),
        ('[[casting]]\npart = "body"\nwax_bore_mm = 17.3\nwidth_mm = 6.3\n', "different places"),
        ('[[casting]]\npart = "body"\nweight_g = 8.8\nwater_g = 8.9\n', "weighs less in water"),
        ('[[casting]]\npart = "body"\n', "nothing was read on any casting"),
        ("", "nothing was read on any casting"),
        (
            '[[ledger]]\nalloy = "gold-750-yellow"\nissued_g = 9.0\nin_ring_g = 7.0\n'
            "clean_returns_g = 1.0\nfilings_g = 1.0\n",
            "nearest: gold-750-yellow-3n",
        ),
        ('[[ledger]]\nalloy = "x"\nissued_g = 9.0\nin_ring_g = 7.0\n', "clean_returns_g"),
    ],
)
def test_readings_that_are_refused(run: Run, tmp_path: Path, text: str, said: str) -> None:
    readings = tmp_path / "read.toml"
    readings.write_text("date = 2026-11-20\n" + text)
    done = run("measured", ROOT / "designs/heron.toml", readings)
    assert done.code == 2
    assert said in done.err, done.err
    if "[[" in text and "nothing" not in said:
        assert "line " in done.err


def test_accepting_asks_for_a_shop_file(run: Run) -> None:
    words = ("measured", ROOT / "designs/heron.toml", ROOT / "designs/shop/heron-readings.toml")
    done = run(*words, "--accept")
    assert done.code == 2
    assert "--accept with --shop FILE" in done.err


def test_a_form_is_never_written_over_a_file(run: Run, tmp_path: Path) -> None:
    form = tmp_path / "form.toml"
    words = ("measured", ROOT / "designs/heron.toml", "--form", form)
    assert run(*words).code == 0
    first = form.read_bytes()
    again = run(*words)
    assert again.code == 2
    assert "exists already" in again.err
    assert form.read_bytes() == first
    assert run(*words[:2]).code == 2
    assert run(*words, "--accept").code == 2


KEPT = (
    f"[shrink.alloy.{YELLOW}]\npercent = 1.3   # Anna\n# ask her first\ncastings = 2\n",
    "[casting]\nmelt_loss_percent = 1.2  # by guess\n[casting.melt_loss_from]\n# since spring\n"
    "melts = 2\nissued_g = 20.0\ndate = 2026-05-01\n",
    "# the melt rules\r\n[melt]\r\nbalance_g = 0.01\r\n",
)


@pytest.mark.parametrize("text", KEPT)
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["plain", "with its mark"])
def test_every_remark_and_line_end_stays(run: Run, tmp_path: Path, text: str, mark: bytes) -> None:
    shop, readings = tmp_path / "shop.toml", tmp_path / "read.toml"
    shop.write_bytes(mark + text.encode())
    readings.write_bytes((ROOT / "designs/shop/heron-readings.toml").read_bytes())
    words = ("measured", ROOT / "designs/heron.toml", readings, "--shop", shop, "--accept")
    done = run(*words)
    assert done.code == 0, done.err
    after = shop.read_bytes()
    assert after.startswith(mark)
    for remark in ("# Anna", "# ask her first", "# by guess", "# since spring", "# the melt rules"):
        assert (remark in text) == (remark.encode() in after)
    assert (b"\r\n" in after) == ("\r\n" in text)
    assert after.count(b"\n") == after.count(b"\r\n") or "\r\n" not in text


def test_tables_that_would_move_are_not_touched() -> None:
    """Lots apart from each other, other tables between: what to write is told instead."""
    text = (
        '[[lot]]\nname = "a"\ngrams = 1.0\nrecipe = { Au = 100 }\n# rules\n[melt]\nbuy = ["Au"]\n'
    )
    text += '[[lot]]\nname = "b"\ngrams = 1.0\nrecipe = { Ag = 100 }\n'
    job = rg.job(HERON.design, shop_from_text(text))
    found = measured(job, read(cast(job, "body", 1.7)))
    with pytest.raises(OutputError, match="write into it"):
        shop_text(text, found)


def test_accepting_is_both_files_or_none(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from ringgeom.output import accepting

    shop, readings = tmp_path / "shop.toml", tmp_path / "read.toml"
    shop.write_text("# ours\n")
    readings.write_bytes((ROOT / "designs/shop/heron-readings.toml").read_bytes())
    before = readings.read_bytes()
    true = accepting.write_file

    def failing(path: Path, content: bytes) -> None:
        if path == shop:
            raise OutputError("no room")
        true(path, content)

    monkeypatch.setattr(accepting, "write_file", failing)
    words = ("measured", ROOT / "designs/heron.toml", readings, "--shop", shop, "--accept")
    assert run(*words).code == 2
    assert (shop.read_text(), readings.read_bytes()) == ("# ours\n", before)


class Killed(BaseException):
    """Stands for the end of the process."""


def accepting_killed(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: int
) -> tuple[Path, Path, tuple[Any, ...]]:
    """Shop, readings and the command, after it was killed at its first or second file."""
    shop, readings = tmp_path / "shop.toml", tmp_path / "read.toml"
    shop.write_text("# ours\n")
    readings.write_bytes((ROOT / "designs/shop/heron-readings.toml").read_bytes())
    words = ("measured", ROOT / "designs/heron.toml", readings, "--shop", shop, "--accept")
    from ringgeom.output import accepting

    true, calls = accepting.write_file, []

    def dies(path: Path, content: bytes) -> None:
        calls.append(path)
        if len(calls) == at:
            raise Killed
        true(path, content)

    with monkeypatch.context() as patched:
        patched.setattr(accepting, "write_file", dies)
        with pytest.raises(Killed):
            run(*words)
    return shop, readings, words


def test_accepting_that_was_killed_between_the_files_is_finished(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Found: one file told of figures that the other did not have."""
    shop, readings, words = accepting_killed(run, tmp_path, monkeypatch, 2)
    taken = shop.read_bytes()
    assert shop_from_text(taken.decode()).shrink.alloy
    done = run(*words)
    assert done.code == 2
    assert "taken in on 2026-11-24 already" in done.err
    assert "accepted = 2026-11-24" in readings.read_text()
    assert shop.read_bytes() == taken
    assert {path.name for path in tmp_path.iterdir()} == {"shop.toml", "read.toml"}


def test_accepting_that_was_killed_before_the_first_file_is_done_anew(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop, readings, words = accepting_killed(run, tmp_path, monkeypatch, 1)
    assert shop.read_text() == "# ours\n"
    assert run(*words).code == 0
    assert shop_from_text(shop.read_text()).shrink.alloy
    assert "accepted = 2026-11-24" in readings.read_text()
    assert {path.name for path in tmp_path.iterdir()} == {"shop.toml", "read.toml"}


def test_a_shop_file_changed_since_accepting_was_killed_is_asked_about(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop, readings, words = accepting_killed(run, tmp_path, monkeypatch, 2)
    before = readings.read_bytes()
    shop.write_text(shop.read_text() + "# and a remark\n")
    now = shop.read_bytes()
    done = run(*words)
    assert done.code == 2
    assert "was interrupted" in done.err
    assert ".read.toml.accepting" in done.err
    assert (shop.read_bytes(), readings.read_bytes()) == (now, before)


def test_two_that_accept_at_once_count_once(tmp_path: Path) -> None:
    """The second has read the readings before the first has marked them."""
    from ringgeom.output import accepting

    shop, readings = tmp_path / "shop.toml", tmp_path / "read.toml"
    shop.write_text("# ours\n")
    readings.write_bytes((ROOT / "designs/shop/heron-readings.toml").read_bytes())
    found = measured(HERON, *read_readings(readings)[:1])
    accepting.accept(found, shop, readings)
    taken = shop.read_bytes()
    with pytest.raises(InputError, match="taken in on 2026-11-24 already"):
        accepting.accept(found, shop, readings)
    assert shop.read_bytes() == taken


def test_a_file_kept_from_change_is_left(run: Run, tmp_path: Path) -> None:
    shop, readings = tmp_path / "shop.toml", tmp_path / "read.toml"
    shop.write_text("# ours\n")
    shop.chmod(0o444)
    readings.write_bytes((ROOT / "designs/shop/heron-readings.toml").read_bytes())
    before = readings.read_bytes()
    words = ("measured", ROOT / "designs/heron.toml", readings, "--shop", shop, "--accept")
    done = run(*words)
    assert done.code == 2
    assert "kept from being changed" in done.err
    assert (shop.read_text(), readings.read_bytes()) == ("# ours\n", before)


@pytest.mark.parametrize(
    ("read_mm", "said"),
    [(8.67, "looks like a radius"), (0.6826, "looks like inches"), (1e-300, "not of this part")],
)
def test_readings_of_the_pattern_are_judged_too(read_mm: float, said: str) -> None:
    with pytest.raises(InputError, match=f"the pattern's bore.*{said}|pattern's bore is not"):
        measured(HERON, read(CastingRead(part="body", bore_mm=17.07, wax_bore_mm=read_mm)))


def test_figures_at_their_largest_do_not_break_it() -> None:
    text = (
        "[casting]\nmelt_loss_from = { melts = 1000000000, issued_g = 1e12, date = 2020-01-01 }\n"
    )
    job = rg.job(HERON.design, shop_from_text(text))
    kept = LedgerRead(
        alloy=YELLOW, issued_g=15.0, in_ring_g=7.6, clean_returns_g=6.0, filings_g=1.1
    )
    assert shop_from_text(shop_text(text, measured(job, read(ledgers=(kept,))))) is not None


def test_a_form_with_a_name_no_disk_takes(run: Run, tmp_path: Path) -> None:
    done = run("measured", ROOT / "designs/heron.toml", "--form", tmp_path / ("x" * 300))
    assert done.code == 2
    assert "cannot be written" in done.err
