"""The words of the build card."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.views.text.language import Words, mark
from shellcheck_earth.views.text.survey.lengths import chain

__all__ = [
    "CARD_CAUTION",
    "CardWords",
    "card_heads",
    "card_lines",
    "card_subtitle",
    "card_title",
    "card_words",
    "two_pages",
]


@dataclass(frozen=True)
class CardWords:
    """The words of the drawing, ready to be written."""

    title: str
    described: str
    fixed_chain: str
    fixed_length: str
    centre_chain: str
    centre_length: str
    springing: str
    fixed_pivot: str
    centre_pivot: str
    top: str


CARD_CAUTION = mark(
    "Nobody inside below the row being laid. Cover before rain. Cracks, bulges, sounds or running earth: everybody out."
    " A calculation, not a permit: a licensed structural engineer must check this dome."
)


def card_title(dome: Dome, day: date | None, _: Words) -> str:
    """Name of the dome, and the day of the survey that the card goes by."""
    if day is None:
        return _("Build card: {name}", name=dome.design.name)
    return _("Build card: {name}, {day}", name=dome.design.name, day=day.isoformat())


def card_subtitle(_: Words) -> str:
    """How the card is used, in one sentence."""
    return _(
        "Measure the wall above the springing before each course; set the centre chain by that height, not by the"
        " number of the course."
    )


def card_heads(imperial: bool, _: Words) -> list[str]:
    """Heads of the table, in its order."""
    more = _("1/2 in higher") if imperial else _("10 mm higher")
    return [
        _("course"), _("wall height"), _("set chain"), more, _("in by"), _("out by"), _("laid"), _("top as built"),
        _("radius as built"),
    ]  # fmt: skip


def card_lines(dome: Dome, _: Words, *, tolerated: bool) -> list[str]:
    """Beneath the table."""
    out = [
        _(
            "Chain to the inner face at half the height of the course; its top comes to the height of the line above."
            " Between two lines go in proportion. Higher: what the setting changes by when the wall stands so much"
            " higher than its line; the other way when lower."
        )
    ]
    height = dome.design.building.scaffold_above
    if height is not None:
        out.append(
            _(
                "Nobody on the wall where it stands higher than {height} above the floor: scaffold.",
                height=chain(height, dome.design.unit_system),
            )
        )
    if not tolerated:
        out.append(_("No tolerances: the design falls short of what is required, or cannot be said to meet it."))
    return out


def two_pages(_: Words) -> str:
    """Said where there are more courses than one page holds at 10 pt."""
    return _("This card has two pages: more courses than one page holds. Keep both together.")


def card_words(dome: Dome, _: Words) -> CardWords:
    """The words of the drawing."""
    system, shape = dome.design.unit_system, dome.design.dome
    pivot = chain(shape.centre_pivot_above_springing, system)
    centre = _("pivot on the axis, {height} above the springing", height=pivot)
    return CardWords(
        title=_("Both chains of {name}", name=dome.design.name),
        described=_("Section with the fixed chain from its pivot past the axis and the centre chain from the axis"),
        fixed_chain=_("fixed chain"),
        fixed_length=_("{length}, always", length=chain(dome.fixed_compass, system)),
        centre_chain=_("centre chain"),
        centre_length=_("by the table"),
        springing=_("springing"),
        fixed_pivot=_("fixed pivot"),
        centre_pivot=centre if shape.centre_pivot_above_springing else _("centre pivot"),
        top=_("top: {level}", level=chain(dome.top, system)),
    )
