"""What to melt of each alloy, told in the terminal: the arithmetic, sprues, flasks, the pour."""

from __future__ import annotations

from collections.abc import Sequence

from ringgeom.making.alike import Like, alike
from ringgeom.making.poured import Casting
from ringgeom.making.sprue import Sprue
from ringgeom.shop import Casting as CastingSettings
from ringgeom.terminal import say, table


def tell_castings(castings: Sequence[Casting], settings: CastingSettings, *, flasks: bool) -> None:
    """Grams to melt of each alloy, with the arithmetic and its sprues; its flask if asked."""
    say()
    rows = [
        [
            casting.alloy.name,
            ", ".join(like.name for like in _likes(casting)),
            f"{casting.flask.parts_g:.2f}",
            f"{casting.flask.sprue_g:.2f}",
            f"{casting.flask.button_g:.2f}",
            f"{casting.flask.loss_g:.2f}",
            f"{casting.flask.melt_g:.2f}",
            f"{casting.flask.returns_g:.2f}",
            f"{casting.flask.filings_g:.2f}",
        ]
        for casting in castings
    ]
    head = ("to melt", "for", "parts g", "sprue g", "button g", "loss g", "melt g")
    table((*head, "returns g", "filings g"), rows)
    say(
        f"  melt = (parts + sprue + button) / (1 - {settings.melt_loss_percent:g} % loss); button "
        f"{settings.button_percent:g} % of the castings, at least {settings.button_min_g:g} g, "
        "once per flask"
    )
    for one in castings:
        for like in _likes(one):
            say(f"  sprue of {like.name}: {_sprue_words(one.sprues[like.numbers[0]])}")
    for one in castings if flasks else ():
        say(f"  flask of {one.alloy.name}: {_flask_words(one)}")


def _likes(casting: Casting) -> list[Like]:
    return alike(list(zip(casting.names, casting.parts, strict=True)))


def _sprue_words(sprue: Sprue) -> str:
    foot = f"{sprue.diameter_mm:.2f} mm round"
    if sprue.is_oval:
        foot = f"{sprue.across_mm:.2f} x {sprue.along_mm:.2f} mm oval"
    return (
        f"{sprue.count} x {foot}, {sprue.length_mm:g} mm long, fillet {sprue.fillet_mm:.2g}, "
        f"{sprue.volume_mm3:.1f} mm3 (modulus asks for {sprue.by_modulus_mm:.2f} mm, section for "
        f"{sprue.by_section_mm:.2f}; liquid {sprue.freezes_later:.1f} times as long as the part)"
    )


def _flask_words(casting: Casting) -> str:
    tree, flask = casting.tree, casting.flask
    waxes = "1 wax" if tree.waxes == 1 else f"{tree.waxes} waxes"
    stands = "on the button"
    if tree.tiers:
        tiers = "1 tier" if tree.tiers == 1 else f"{tree.tiers} tiers"
        stands = (
            f"on a stem {tree.stem_mm:g} mm thick and {tree.stem_length_mm:.0f} long, "
            f"{tree.per_tier} round it in {tiers}"
        )
    pour = casting.pour
    how = "no liquidus known: ask its maker how hot to pour"
    if pour is not None:
        mould = "" if pour.too_hot_for_gypsum else f"{pour.investment} investment, "
        how = f"{pour.text}; {mould}{pour.flask}"
    return (
        f"{waxes} {stands}, at least {tree.flask_across_mm:.0f} mm across and "
        f"{tree.flask_height_mm:.0f} high inside; yield {flask.yield_percent:.0f} % (castings), "
        f"recovery {flask.recovery_percent:.1f} % (castings, sprue, button); {how}"
    )
