"""What a notebook and a script see: few names, light to load, errors only of our own kind."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from forms_asked import bores, lengths, outsides
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from proof.designs import document

import ringgeom as rg
from ringgeom.errors import InputError, OutputError, RinggeomError, StopError

HEAVY = {"trimesh", "shapely", "manifold3d", "pyvista", "vtk", "scipy", "matplotlib", "rich"}
PUBLIC = {"Design", "Job", "Shop", "__version__", "design_from_text", "job"} | {
    "read_design",
    "read_shop",
    "section",
    "shop_from_text",
    "write",
}


def loaded_after(code: str, environment: dict[str, str]) -> set[str]:
    """Top-level modules that some code loads, in a process of its own."""
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            f"import sys\nbefore = set(sys.modules)\n{code}\n"
            "print('loaded', *{m.split('.')[0] for m in set(sys.modules) - before}, "
            "file=sys.stderr)",
        ],
        env=environment,
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    return set(done.stderr.splitlines()[-1].split()[1:])


def test_import_loads_the_standard_library_only(environment: dict[str, str]) -> None:
    loaded = loaded_after("import ringgeom", environment)
    assert loaded - set(sys.stdlib_module_names) == {"ringgeom"}


def test_every_public_name_loads_and_no_other_is_public() -> None:
    assert set(rg.__all__) == PUBLIC
    for name in rg.__all__:
        assert getattr(rg, name) is not None
    with pytest.raises(AttributeError, match="nonsense"):
        _ = rg.nonsense


@pytest.mark.parametrize(
    "words",
    ["--help", "weigh --help", "--version", "weigh HERON", "weigh HERON --json", "size US 7"],
)
def test_a_light_command_loads_nothing_heavy(
    words: str, designs: Path, environment: dict[str, str]
) -> None:
    """Piped, as a script calls it; what a screen shows may load `rich`."""
    argv = ["ringgeom", *words.replace("HERON", str(designs / "heron.toml")).split()]
    code = (
        f"sys.argv = {argv!r}\nfrom ringgeom.cli import main\n"
        "try: main()\nexcept SystemExit as end: assert not end.code"
    )
    assert loaded_after(code, environment) & HEAVY == set()


def test_in_a_notebook(designs: Path, tmp_path: Path) -> None:
    """The example of the README, name by name."""
    job = rg.job(rg.read_design(designs / "heron.toml"))
    assert [part.name for part in job.parts] == ["reed", "body"]
    assert all(part.volume_mm3 > 0 and part.finished_g > 0 for part in job.parts)
    assert {casting.alloy.name for casting in job.castings} == {
        "gold-750-green",
        "gold-750-yellow-3n",
    }
    assert isinstance(job.findings, tuple)
    paths = rg.write(job, tmp_path / "exports")
    assert all(path.is_file() for path in paths)
    assert {path.parent for path in paths} <= {
        tmp_path / "exports" / "heron",
        tmp_path / "exports" / "heron" / "wax",
        tmp_path / "exports" / "heron" / "templates",
    }


def test_design_by_text_and_by_file_are_one(designs: Path) -> None:
    path = designs / "heron.toml"
    assert rg.design_from_text(path.read_text("utf-8")) == rg.read_design(str(path))


def test_no_shop_is_the_default_shop(designs: Path) -> None:
    asked = rg.read_design(designs / "heron.toml")
    assert rg.read_shop(None) == rg.Shop() == rg.shop_from_text("")
    assert rg.job(asked).finished_g == rg.job(asked, rg.Shop()).finished_g


def test_writing_a_stopped_job_says_so(designs: Path, tmp_path: Path) -> None:
    text = (designs / "heron.toml").read_text("utf-8").replace("depth_mm = 0.8", "depth_mm = 3")
    with pytest.raises(StopError):
        rg.write(rg.job(rg.design_from_text(text)), tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_errors_are_one_family() -> None:
    assert {InputError, OutputError, StopError} <= set(RinggeomError.__subclasses__())


def test_no_test_may_be_skipped_where_ci_is_set(
    tmp_path: Path, environment: dict[str, str]
) -> None:
    """By a mark, inside a test, and for a whole file; without CI all three are only skipped."""
    shutil.copy(Path(__file__).with_name("conftest.py"), tmp_path / "conftest.py")
    (tmp_path / "test_some.py").write_text(
        "import pytest\n"
        "@pytest.mark.skip(reason='a')\ndef test_a(): pass\n"
        "def test_b(): pytest.skip('b')\n"
    )
    (tmp_path / "test_whole.py").write_text("import pytest\npytest.importorskip('no_such')\n")
    without = {key: value for key, value in environment.items() if key != "CI"}
    without["PYTHONPATH"] = str(Path(__file__).parent)
    # what a mark or a whole file skips fails before it runs, so it counts as an error
    for env, code, said in (
        (without, 0, "3 skipped"),
        (without | {"CI": "1"}, 1, "1 failed, 2 errors"),
    ):
        done = subprocess.run(
            [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "--rootdir", "."]
            + (["--continue-on-collection-errors"] if "CI" in env else []),
            cwd=tmp_path,
            env=env,
            capture_output=True,
            text=True,
            check=False,
            timeout=60,
        )
        assert done.returncode == code, done.stdout
        assert said in done.stdout


# Fuzz: whatever is typed, the answer is a design or an InputError, then parts or a stop.

BOUNDED = settings(
    max_examples=150,
    deadline=None,
    # the same examples on every machine: a failure here is a defect, never bad luck
    derandomize=True,
    suppress_health_check=list(HealthCheck),
)

GOOD: dict[str, Any] = {
    "job": {"name": "Wren"},
    "ring": {
        "size": "US 7",
        "width_mm": 6.0,
        "thickness_mm": 1.9,
        "outside": {"form": "domed", "rise_mm": 0.35},
        "inside": {"form": "flat"},
        "edge_mm": 0.2,
    },
    "body": {"alloy": "gold-750-yellow-3n", "proud_mm": 0.0},
    "part": [
        {
            "name": "reed",
            "place": "channel",
            "alloy": {"name": "Willow", "Au": 75, "Ag": 25, "lab": [80, 0, 20]},
            "width_mm": 2.4,
            "depth_mm": 0.8,
            "wave": {"amplitude_mm": 0.3, "count": 5, "phase_deg": 0},
            "gap_mm": {"side": 0.05, "floor": 0.05},
        },
        {"name": "rail", "place": "edges", "alloy": "silver-925", "width_mm": 1.0, "gap_mm": 0.02},
        {"name": "brick", "place": "segments", "alloys": ["silver-925"], "count": 4, "depth_mm": 1},
        {"name": "sand", "place": "stripe", "alloy": "silver-925", "from_mm": -1, "to_mm": 1},
        {"name": "lining", "place": "liner", "alloy": "silver-925", "thickness_mm": 0.4},
    ],
}

KEYS = st.sampled_from(
    ["name", "size", "width_mm", "alloy", "Au", "form", "rise_mm", "place", "wave", "part", "body"]
)
LETTERS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
SCALARS = (
    st.integers()
    | st.integers(min_value=10**300)
    | st.floats()
    | st.booleans()
    | st.dates()
    | st.datetimes()
    | st.times()
    | LETTERS
    | st.sampled_from(["channel", "domed", "flat", "silver-925", "US 7", "54 mm around", "18k"])
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS | LETTERS, inner, max_size=3),
    max_leaves=6,
)


def places(node: Any) -> list[tuple[Any, Any]]:
    """Every (container, key) in a nest of tables and lists."""
    items = node.items() if isinstance(node, dict) else enumerate(node)
    found = []
    for key, inner in items:
        found.append((node, key))
        if isinstance(inner, dict | list):
            found += places(inner)
    return found


@st.composite
def spoiled(draw: st.DrawFn) -> dict[str, Any]:
    """The good design with one to three things changed, added or taken out."""
    design: dict[str, Any] = json.loads(json.dumps(GOOD))
    design["part"] = [p for p in design["part"] if draw(st.booleans())]
    for _ in range(draw(st.integers(1, 3))):
        holder, key = draw(st.sampled_from(places(design) or [(design, "job")]))
        what = draw(st.sampled_from(["change", "add", "remove"]))
        if what == "change":
            holder[key] = draw(VALUES)
        elif what == "add" and isinstance(holder, dict):
            holder[draw(KEYS | LETTERS)] = draw(VALUES)
        else:
            del holder[key]
    return design


def checked_refusal(refusal: InputError) -> None:
    """A refusal must say something for every problem."""
    assert refusal.problems
    assert all(problem.text for problem in refusal.problems)


def answered(text: str, shop: rg.Shop | None = None) -> rg.Job | None:
    """The job of a text, None if it was refused; anything but that is a defect."""
    try:
        design = rg.design_from_text(text)
    except InputError as refusal:
        checked_refusal(refusal)
        return None
    job = rg.job(design, shop)
    assert bool(job.parts) != job.stopped, job.findings
    assert all(part.volume_mm3 > 0 and part.cast_mm3 > 0 for part in job.parts)
    return job


@BOUNDED
@given(spoiled())
def test_no_typing_breaks_it(design: dict[str, Any]) -> None:
    answered(document(design))


@BOUNDED
@given(st.text(st.characters(exclude_categories=["Cs"])) | st.binary().map(bytes.hex))
def test_no_text_breaks_it(text: str) -> None:
    answered(text)
    try:
        rg.shop_from_text(text)
    except InputError as refusal:
        checked_refusal(refusal)


def test_the_fuzz_begins_from_what_can_be_read() -> None:
    text = document(GOOD)
    assert rg.design_from_text(text).job.name == "Wren"


@st.composite
def rings(draw: st.DrawFn) -> dict[str, Any]:
    """Designs that can be read: any measures, any places in any order."""
    width, thick = draw(lengths(1.0, 15.0)), draw(lengths(0.8, 5.0))
    half = width / 2
    alloys = st.sampled_from(["gold-750-yellow-3n", "silver-925", "platinum-950-ru"])
    waves = st.fixed_dictionaries(
        {"amplitude_mm": lengths(0.0, half), "count": st.sampled_from([1, 2, 7])},
        optional={"phase_deg": lengths(-360.0, 360.0)},
    )
    gaps = st.just(0.05) | st.fixed_dictionaries({}, optional={"side": lengths(-0.03, 0.3)})
    named = {"alloy": alloys}
    loose = {"gap_mm": gaps, "wave": waves}
    kinds = {
        "channel": (
            named | {"width_mm": lengths(0.01, width), "depth_mm": lengths(0.01, thick)},
            loose | {"centre_mm": lengths(-half, half), "undercut_mm": lengths(0.0, 0.5)},
        ),
        "liner": (named | {"thickness_mm": lengths(0.01, thick)}, {"gap_mm": gaps}),
        "stripe": (
            named | {"from_mm": lengths(-half, half - 0.1), "to_mm": st.just(half)},
            loose,
        ),
        "edges": (named | {"width_mm": lengths(0.01, half)}, loose),
        "segments": (
            {"alloys": st.lists(alloys, min_size=1, max_size=3), "count": st.integers(2, 9)},
            {"gap_mm": gaps, "slant_deg": lengths(-60.0, 60.0), "depth_mm": lengths(0.01, thick)},
        ),
    }
    parts = []
    for number, place in enumerate(draw(st.lists(st.sampled_from(sorted(kinds)), max_size=3))):
        asked, optional = kinds[place]
        keys = draw(st.fixed_dictionaries(asked, optional=optional))
        parts.append({"name": f"part {number}", "place": place, **keys})
    sizes = st.sampled_from(["US 7", "ISO 41", "UK Z+6", "26 mm across", "13 mm across"])
    ring = {"size": sizes, "width_mm": st.just(width), "thickness_mm": st.just(thick)}
    more = {
        "outside": outsides(half, thick),
        "inside": bores(half, thick),
        "edge_mm": lengths(0.0, half),
    }
    design = {"job": {"name": "Wren"}, "ring": draw(st.fixed_dictionaries(ring, optional=more))}
    if not parts or draw(st.booleans()):
        design["body"] = {"alloy": draw(alloys)}
        if draw(st.booleans()):
            design["body"]["proud_mm"] = draw(lengths(-thick, 1.0))
    return design | ({"part": parts} if parts else {})


@BOUNDED
@given(rings())
def test_every_ring_is_made_or_stopped(design: dict[str, Any]) -> None:
    assert answered(document(design)) is not None


PLAIN = '[job]\nname = "Wren"\n[ring]\nsize = "US 7"\nwidth_mm = 6.0\nthickness_mm = 2.0\n'
BODY = '[body]\nalloy = "silver-925"\n'
SLEEVE = (
    '[[part]]\nname = "sleeve"\nplace = "channel"\nalloy = "gold-750-green"\n'
    "width_mm = 6.0\ndepth_mm = 0.8\n"
)

FOUND_BY_FUZZ = {
    "channel in a sleeve": f"{PLAIN}{BODY}{SLEEVE.replace('sleeve', 'inlay').replace('6.0', '2.0')}"
    f"{SLEEVE}",
    "edges too round, no parts": f"{PLAIN}edge_mm = 1.2\n{BODY}",
    "edges rounder than the band is wide": f"{PLAIN}edge_mm = 4.0\n{BODY}",
    # warnings are errors here: on a screen each is a line of noise
    "edge next to nothing": f"{PLAIN}outside = {{ form = 'domed', rise_mm = 0.5 }}\n"
    f"edge_mm = 5e-324\n{BODY}",
    "undercut next to nothing": f"{PLAIN}{BODY}{SLEEVE.replace('6.0', '2.0')}"
    "undercut_mm = 2e-311\n",
    "edges that end below the middle of a domed band": PLAIN.replace("2.0", "0.8")
    + "outside = { form = 'domed', rise_mm = 0.5 }\n"
    f"{BODY}[[part]]\nname = 'rim'\nplace = 'edges'\nalloy = 'silver-925'\nwidth_mm = 0.5\n",
    "body recessed by the whole wall": f"{PLAIN}{BODY}proud_mm = -2.0\n",
    "body recessed below the bore's dome": f"{PLAIN}inside = {{ form = 'domed', rise_mm = 1.0 }}\n"
    f"{BODY}proud_mm = -1.5\n",
}


@pytest.mark.parametrize("text", FOUND_BY_FUZZ.values(), ids=FOUND_BY_FUZZ)
def test_what_the_fuzz_has_found(text: str) -> None:
    assert answered(text) is not None
