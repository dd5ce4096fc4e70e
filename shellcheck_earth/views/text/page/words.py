"""The page's fixed words: headings, labels, buttons, and what is said when a request is refused."""

from __future__ import annotations

from collections.abc import Mapping

from shellcheck_earth.views.text.cautions import ENGINEER

__all__ = ["COMPILING", "ENDED", "GROUPS", "LABELS", "WORDS", "open_line", "share_lines"]

GROUPS: Mapping[str, str] = {
    "shape": "Shape",
    "tube": "Tube",
    "soil": "Soil and water",
    "beds": "Beds and wire",
    "building": "Building",
    "site": "Site",
}

LABELS: Mapping[str, str] = {
    "dome.inside_diameter": "Inside diameter",
    "dome.fixed_compass_pivot": "Fixed pivot beyond the inner face",
    "dome.crown_opening": "Crown opening",
    "wall.filled_width": "Filled width of the tube",
    "wall.course_height": "Course height",
    "fill.dry_density": "Dry density",
    "fill.placing_moisture": "Moisture as placed",
    "fill.service_moisture": "Moisture in service",
    "fill.strength_dry": "Strength, dry",
    "fill.strength_as_placed": "Strength as placed",
    "beds.friction": "Bed friction",
    "beds.wire_strands": "Strands of wire in a bed",
    "beds.wire_breaking_load": "Breaking load of a strand",
    "beds.wire_counted_share": "Share of it counted on",
    "building.courses_per_day": "Courses a day",
    "building.worker": "Weight of a worker",
    "site.rain.intensity": "Rain",
    "site.rain.hours": "Hours that it rains",
}

WORDS: Mapping[str, str] = {
    "page title": "Earthbag dome, live",
    "skip": "To the section",
    "modes": "What is shown",
    "mode dome": "The dome",
    "mode survey": "Survey on site",
    "tools": "Steps and design file",
    "undo": "Undo",
    "redo": "Redo",
    "units": "Units",
    "metric": "metric",
    "imperial": "imperial",
    "open": "Open a design file",
    "save": "Save the design file",
    "answer": "Answer",
    "preview": "Preview, no verdict",
    "of the check": "The whole check",
    "stale": "The last whole check was of the design before it was changed.",
    "waiting": "Connecting to the program on this machine ...",
    "loading": "Cannot say yet: loading the solver ...",
    "lost line": "The program no longer answers. Start it again in the terminal; open the file that you saved last.",
    "section": "Section",
    "first": "The section appears here.",
    "what stands": "What stands, and how wet",
    "stage": "Courses laid",
    "finished": "finished",
    "case": "Case of the finished dome",
    "hours": "Hours of rain on the bare work",
    "crew": "The crew stands on the top ring",
    "again": "Show it move again",
    "keep": "Keep this to compare",
    "settings": "Change the dome",
    "search": "Find any other key of the design file",
    "search hint": "moisture, snow, plaster ...",
    "search none": "No key of that name.",
    "set": "Set",
    "measured": "measured",
    "assumed": "assumed",
    "stated": "stated",
    "none reason": "a load that the site does not have: none: and the reason",
    "factors": "Safety factors and what is required",
    "check column": "Check",
    "here column": "In the case drawn",
    "worst column": "Worst of all cases",
    "required column": "Required",
    "outcome column": "Outcome",
    "looking": "looking ...",
    "show worst": "Show this case",
    "whole": "The whole check",
    "whole why": (
        "Every stage, moisture and load, the block model where openings or loads from one side need it, the ranges of "
        "what was not measured, and the proofs: the report and the certificate of the command, byte for byte."
    ),
    "run": "Run the whole check",
    "cancel": "Cancel",
    "cancelled": "Cancelled. Nothing of it is kept, and no verdict was reached.",
    "starting": "starting",
    "work under way": "Something of this design is under way: wait for it, or cancel it.",
    "other work": "Two other tabs have long work under way: wait for one of them.",
    "lesson": "Lesson for a class",
    "lesson why": (
        "The story of this dome on a projector: a question first, then the dome step by step until it goes, then"
        " the answer."
        " Space or the right arrow goes on, the left arrow back, Escape ends it. It prints as slides."
    ),
    "lesson begin": "Begin the lesson",
    "lesson print": "Print the slides",
    "lesson next": "On",
    "lesson back": "Back",
    "lesson end": "End the lesson",
    "lesson at": "Slide",
    "lesson stale": "The lesson is of the design as it was when it was made.",
    "map": "Compare map: two keys at once",
    "map why": (
        "Each cell is a dome, asked of the ring-symmetric check alone, with the least factor over what is"
        " required: 1 just"
        " meets. Nothing on the map is a verdict; proofs and ranges are not looked at. Press a cell to go there."
    ),
    "map across": "Across",
    "map up": "Up",
    "map draw": "Draw the map",
    "map here": "this design",
    "not buildable": "not buildable",
    "falls short": "falls short",
    "cannot say": "nothing short in the preview",
    "of required": "of what is required",
    "three": "In three dimensions",
    "three why": (
        "Turn it with the mouse, a finger or the arrow keys; plus and minus bring it nearer. What moves first is"
        " red and"
        " has arrows of its own colour in the section; what stays is pale. Openings are shown as they are cut"
        " into blocks."
    ),
    "three show": "Show the dome",
    "three open": "Cut it open",
    "three moves": "How far it has moved",
    "three none": "Nothing moves in the case that is drawn.",
    "three of": "What moves first:",
    "three label": "The dome in three dimensions, to turn with the arrow keys",
    "three cannot": "This browser cannot draw in three dimensions (no WebGL). The section shows the same.",
    "class": "The class looks on",
    "class why": (
        "Phones in the same network scan this code, or open the address and type the code. It is good for this"
        " run alone;"
        " what is sent is not encrypted. Guests see this tab and change nothing, unless you let them."
    ),
    "class code": "Code",
    "class guests": "looking on",
    "class allow": "Guests may move the sliders",
    "class lead": "Show this tab to the class",
    "class leads": "The class sees this tab.",
    "class other": "The class sees another tab.",
    "class end": "End the sharing",
    "class ended": "The sharing has ended.",
    "wrong code": "That is not the code of this class, or too many wrong ones came; wait a minute.",
    "join": "Look on with the class",
    "join why": "Type the code that the teacher shows.",
    "join go": "Look on",
    "guest": "You look on: the teacher moves the dome.",
    "guest may": "The teacher lets you move the sliders: everybody sees what you do.",
    "no verdict": "No verdict: a lesson about one dome, one thing at a time.",
    "files": "Files of the check",
    "reasons": "What stands before a meets",
    "chart": "What holds up the finished, dry dome: friction or wire?",
    "chart x": "wire tension counted in each bed",
    "chart y": "bed friction",
    "chart none": "No friction is enough, whatever the wire.",
    "just stands": "just stands",
    "this design": "this design",
    "no line": "not enough: no thrust line exists",
    "compare": "Before and after",
    "before": "Kept",
    "after": "Now",
    "forget": "Let it go",
    "back": "Go back to it",
    "cautions": "Cautions",
    "engineer": ENGINEER,
    "refused": "Not taken over.",
    "too large": "a design file has at most 1 MB",
    "unbuildable": "No such dome can be built",
    "host": "Refused: this program answers to its own name on this machine only.",
    "origin": "Refused: the request does not come from the page itself.",
    "method": "Refused: only GET is answered here.",
    "long": "Refused: the address is too long.",
    "no key": "Refused: open the address that the command printed in the terminal; it holds the key of this run.",
    "nothing here": "Nothing here.",
}

COMPILING = "First run: compiling the solver, which takes up to a minute; the page answers after that."
ENDED = "The page has ended."


def open_line(address: str) -> str:
    """Where the page is, for who has no browser opened for them."""
    return f"The page is at {address} on this machine; Ctrl-C here ends it."


def share_lines(address: str, code: str) -> list[str]:
    """For the teacher, in the terminal."""
    return [
        f"Shared: phones in the same network open {address} or type the code {code}.",
        "The code is good for this run alone. What is sent is not encrypted: share only a dome that everybody may see.",
    ]
