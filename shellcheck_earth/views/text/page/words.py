"""The page's fixed words: headings, labels, buttons, and what is said when a request is refused."""

from __future__ import annotations

from collections.abc import Mapping

from shellcheck_earth.views.text.cautions import ENGINEER
from shellcheck_earth.views.text.language import _, mark, review_sentences, spoken

__all__ = ["COMPILING", "ENDED", "GROUPS", "LABELS", "WORDS", "open_line", "page_words", "share_lines", "word"]

GROUPS: Mapping[str, str] = {
    "shape": mark("Shape"),
    "tube": mark("Tube"),
    "soil": mark("Soil and water"),
    "beds": mark("Beds and wire"),
    "building": mark("Building work"),
    "site": mark("Site"),
}

LABELS: Mapping[str, str] = {
    "dome.inside_diameter": mark("Inside diameter"),
    "dome.fixed_compass_pivot": mark("Fixed pivot beyond the inner face"),
    "dome.crown_opening": mark("Crown opening"),
    "wall.filled_width": mark("Filled width of the tube"),
    "wall.course_height": mark("Course height"),
    "fill.dry_density": mark("Dry density"),
    "fill.placing_moisture": mark("Moisture as placed"),
    "fill.service_moisture": mark("Moisture in service"),
    "fill.strength_dry": mark("Strength, dry"),
    "fill.strength_as_placed": mark("Strength as placed"),
    "beds.friction": mark("Bed friction"),
    "beds.wire_strands": mark("Strands of wire in a bed"),
    "beds.wire_breaking_load": mark("Breaking load of a strand"),
    "beds.wire_counted_share": mark("Share of it counted on"),
    "building.courses_per_day": mark("Courses a day"),
    "building.worker": mark("Weight of a worker"),
    "site.rain.intensity": mark("Rain"),
    "site.rain.hours": mark("Hours that it rains"),
}

WORDS: Mapping[str, str] = {
    "page title": mark("Earthbag dome, live"),
    "skip": mark("To the section"),
    "modes": mark("What is shown"),
    "mode dome": mark("The dome"),
    "mode survey": mark("Survey on site"),
    "tools": mark("Steps and design file"),
    "undo": mark("Undo"),
    "redo": mark("Redo"),
    "units": mark("Units"),
    "metric": mark("metric"),
    "imperial": mark("imperial"),
    "open": mark("Open a design file"),
    "save": mark("Save the design file"),
    "answer": mark("Answer"),
    "preview": mark("Preview, no verdict"),
    "of the check": mark("The whole check"),
    "stale": mark("The last whole check was of the design before it was changed."),
    "waiting": mark("Connecting to the program on this machine ..."),
    "loading": mark("Cannot say yet: loading the solver ..."),
    "lost line": mark(
        "The program no longer answers. Start it again in the terminal; open the file that you saved last."
    ),
    "section": mark("Section"),
    "first": mark("The section appears here."),
    "what stands": mark("What stands, and how wet"),
    "stage": mark("Courses laid"),
    "finished": mark("finished"),
    "case": mark("Case of the finished dome"),
    "hours": mark("Hours of rain on the bare work"),
    "crew": mark("The crew stands on the top ring"),
    "again": mark("Show it move again"),
    "keep": mark("Keep this to compare"),
    "settings": mark("Change the dome"),
    "search": mark("Find any other key of the design file"),
    "search hint": mark("moisture, snow, plaster ..."),
    "search none": mark("No key of that name."),
    "set": mark("Set"),
    "measured": mark("measured"),
    "assumed": mark("assumed"),
    "stated": mark("stated"),
    "none reason": mark("a load that the site does not have: none: and the reason"),
    "factors": mark("Safety factors and what is required"),
    "check column": mark("Check"),
    "here column": mark("In the case drawn"),
    "worst column": mark("Worst of all cases"),
    "required column": mark("Required"),
    "outcome column": mark("Outcome"),
    "looking": mark("looking ..."),
    "show worst": mark("Show this case"),
    "whole": mark("The whole check"),
    "whole why": mark(
        "Every stage, moisture and load, the block model where openings or loads from one side need it, the ranges of "
        "what was not measured, and the proofs: the report and the certificate of the command, byte for byte."
    ),
    "run": mark("Run the whole check"),
    "cancel": mark("Cancel"),
    "cancelled": mark("Cancelled. Nothing of it is kept, and no verdict was reached."),
    "starting": mark("starting"),
    "work under way": mark("Something of this design is under way: wait for it, or cancel it."),
    "other work": mark("Two other tabs have long work under way: wait for one of them."),
    "lesson": mark("Lesson for a class"),
    "lesson why": mark(
        "The story of this dome on a projector: a question first, then the dome step by step until it goes, then"
        " the answer."
        " Space or the right arrow goes on, the left arrow back, Escape ends it. It prints as slides."
    ),
    "lesson begin": mark("Begin the lesson"),
    "lesson print": mark("Print the slides"),
    "lesson next": mark("On"),
    "lesson back": mark("Back"),
    "lesson end": mark("End the lesson"),
    "lesson at": mark("Slide"),
    "lesson stale": mark("The lesson is of the design as it was when it was made."),
    "map": mark("Compare map: two keys at once"),
    "map why": mark(
        "Each cell is a dome, asked of the ring-symmetric check alone, with the least factor over what is"
        " required: 1 just"
        " meets. Nothing on the map is a verdict; proofs and ranges are not looked at. Press a cell to go there."
    ),
    "map across": mark("Across"),
    "map up": mark("Up"),
    "map draw": mark("Draw the map"),
    "map here": mark("this design"),
    "undecided": mark("cannot say"),
    "not buildable": mark("not buildable"),
    "falls short": mark("falls short"),
    "cannot say": mark("nothing short in the preview"),
    "of required": mark("of what is required"),
    "three": mark("In three dimensions"),
    "three why": mark(
        "Turn it with the mouse, a finger or the arrow keys; plus and minus bring it nearer. What moves first is"
        " red and"
        " has arrows of its own colour in the section; what stays is pale. Openings are shown as they are cut"
        " into blocks."
    ),
    "three show": mark("Show the dome"),
    "three open": mark("Cut it open"),
    "three moves": mark("How far it has moved"),
    "three none": mark("Nothing moves in the case that is drawn."),
    "three of": mark("What moves first:"),
    "three label": mark("The dome in three dimensions, to turn with the arrow keys"),
    "three cannot": mark("This browser cannot draw in three dimensions (no WebGL). The section shows the same."),
    "class": mark("The class looks on"),
    "class why": mark(
        "Phones in the same network scan this code, or open the address and type the code. It is good for this"
        " run alone;"
        " what is sent is not encrypted. Guests see this tab and change nothing, unless you let them."
    ),
    "class code": mark("Code"),
    "class guests": mark("looking on"),
    "class allow": mark("Guests may move the sliders"),
    "class lead": mark("Show this tab to the class"),
    "class leads": mark("The class sees this tab."),
    "class other": mark("The class sees another tab."),
    "class end": mark("End the sharing"),
    "class ended": mark("The sharing has ended."),
    "wrong code": mark("That is not the code of this class, or too many wrong ones came; wait a minute."),
    "join": mark("Look on with the class"),
    "join why": mark("Type the code that the teacher shows."),
    "join go": mark("Look on"),
    "guest": mark("You look on: the teacher moves the dome."),
    "guest may": mark("The teacher lets you move the sliders: everybody sees what you do."),
    "no verdict": mark("No verdict: a lesson about one dome, one thing at a time."),
    "files": mark("Files of the check"),
    "reasons": mark("What stands before a meets"),
    "chart": mark("What holds up the finished, dry dome: friction or wire?"),
    "chart x": mark("wire tension counted in each bed"),
    "chart y": mark("bed friction"),
    "chart none": mark("No friction is enough, whatever the wire."),
    "just stands": mark("just stands"),
    "this design": mark("this design"),
    "no line": mark("not enough: no thrust line exists"),
    "compare": mark("Before and after"),
    "before": mark("Kept"),
    "after": mark("Now"),
    "forget": mark("Let it go"),
    "back": mark("Go back to it"),
    "cautions": mark("Cautions"),
    "engineer": ENGINEER,
    "refused": mark("Not taken over."),
    "too large": mark("a design file has at most 1 MB"),
    "unbuildable": mark("No such dome can be built"),
    "host": mark("Refused: this program answers to its own name on this machine only."),
    "origin": mark("Refused: the request does not come from the page itself."),
    "method": mark("Refused: only GET is answered here."),
    "long": mark("Refused: the address is too long."),
    "no key": mark("Refused: open the address that the command printed in the terminal; it holds the key of this run."),
    "nothing here": mark("Nothing here."),
}

COMPILING = mark("First run: compiling the solver, which takes up to a minute; the page answers after that.")
ENDED = mark("The page has ended.")


def word(name: str) -> str:
    """One of the fixed words, in the language of the page."""
    return _(WORDS[name])


def page_words() -> dict[str, str]:
    """All of them by name; on a page that is not in English, that a native reader has not looked it over."""
    said = {name: _(text) for name, text in WORDS.items()}
    return said | {"engineer": " ".join([said["engineer"], *review_sentences()]), "language": spoken().language}


def open_line(address: str) -> str:
    """Where the page is, for who has no browser opened for them."""
    return _("The page is at {address} on this machine; Ctrl-C here ends it.", address=address)


def share_lines(address: str, code: str) -> list[str]:
    """For the teacher, in the terminal."""
    return [
        _("Shared: phones in the same network open {address} or type the code {code}.", address=address, code=code),
        _(
            "The code is good for this run alone. What is sent is not encrypted: share only a dome that everybody may"
            " see."
        ),
    ]
