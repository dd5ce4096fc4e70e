"""The words of the sheet of readings on the page, in the language that is chosen for it."""

from __future__ import annotations

from collections.abc import Mapping

from shellcheck_earth.studies.survey.filled import Head
from shellcheck_earth.views.text.language import Words

__all__ = ["column_label", "hint_of", "site_words"]


def column_label(head: Head, _: Words) -> str:
    """What a field is called: its name, its bearing, its unit."""
    if head.name in ("radius", "compass"):
        said = _("radius at {bearing}°") if head.name == "radius" else _("compass at {bearing}°")
        text = said.format(bearing=f"{head.at or 0.0:g}")
    elif head.name == "soft depth":
        text = _(head.name) if head.at is None else f"{_(head.name)} {head.at:g}"
    else:
        text = _(head.name)
    return f"{text} ({head.unit})" if head.unit and head.name != "laid on" else text


def hint_of(head: Head) -> str:
    """What may be typed, as an example; a unit of one's own always may."""
    if head.unit == "ft in":
        return "4 ft 3 1/2 in"
    return {"laid on": "2026-05-06"}.get(head.name, "")


def site_words(_: Words) -> Mapping[str, str]:
    """Headings, labels, buttons and notes of the sheet and of its answer."""
    return {**_sheet_words(_), **_row_words(_), **_answer_words(_)}


def _sheet_words(_: Words) -> dict[str, str]:
    return {
        "title": _("Survey on site"),
        "why": _(
            "Type what was read today: every course that is laid, and every rain since the work began. The answer is"
            " that of the command, with the same proofs and the same files. A reading of a day before can be kept: save"
            " the sheet, and open it again."
        ),
        "plan": _("Planned: the design on this page, {name}. Whoever changes it there changes what is planned here."),
        "sheet": _("The sheet"),
        "on": _("Day of the survey"),
        "set by": _("The crew sets the compass by"),
        "number": _("the number of the course"),
        "height": _("the height of the wall, as the build card says"),
        "unit": _("Levels and radii without a unit are in"),
        "language": _("Language of the answer"),
        "open": _("Open a sheet (CSV)"),
        "save": _("Save the sheet (CSV)"),
        "bearings": _("Bearings and places of the rod"),
        "bearings why": _(
            "Bearings run clockwise from the entrance. With fewer than three no ring is seen to be oval."
        ),
        "radius": _("radius to the inner face"),
        "compass": _("reading of the centre compass"),
        "soft depth": _("place of the rod"),
        "at": _("at"),
        "add": _("Add"),
        "remove": _("Remove {what}"),
        "remove read": _("{what} has readings, which go with it. Remove it?"),
    }


def _row_words(_: Words) -> dict[str, str]:
    return {
        "courses": _("Courses, from the top down"),
        "courses why": _(
            "Leave a course empty that is not laid. A number may bring its own unit: 1.79 m, 4 ft 3 1/2 in."
        ),
        "course": _("Course {number}"),
        "planned": _("planned: top {top}, radius {radius}, compass {compass}"),
        "not planned": _("no course of the plan"),
        "nothing read": _("nothing read"),
        "read": _("top {top}; {count} radii"),
        "rains": _("Rain since the work began"),
        "rains why": _(
            "One line for each rain: day, hours, water in the gauge, and after how many hours the wall was covered."
        ),
        "rain": _("Rain {number}"),
        "add rain": _("Add a rain"),
    }


def _answer_words(_: Words) -> dict[str, str]:
    return {
        "run": _("Give the answer"),
        "cancel": _("Cancel"),
        "doing what stands now": _("what stands now"),
        "doing the plan as it goes on": _("if the plan goes on"),
        "doing the way back to the curve": _("the corrected plan"),
        "doing rings that are not round": _("rings that are not round"),
        "doing tolerances": _("tolerances"),
        "doing starting": _("starting"),
        "faults": _("The sheet cannot be answered yet: {count} to look at."),
        "kept": _("Everything that was typed is with the program."),
        "waiting": _("Not sent yet: {count} readings wait for the connection. Leave the page open."),
        "stale": _("This answer is of the readings before they were changed. Ask again."),
        "assessed": _("Behind the answer"),
        "settings": _("Next settings"),
        "found": _("What was found"),
        "files": _("Files, as the command writes them"),
        "caution": _("Caution."),
        "cancelled": _("Cancelled. Nothing was answered."),
        "looking": _("You look on: the sheet is filled in on another device."),
    }
