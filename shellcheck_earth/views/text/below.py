"""What the floors below say in English, said again in the reader's language: names of checks, titles of cases and
loads, why a case has no answer, and the remarks and ways to measure that are kept beside the values.

The floors below put their titles together from pieces with a comma between them; each piece is a sentence of the
catalogue with `{0}`, `{1}` for its numbers. A piece that the catalogue does not have is said in English.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from shellcheck_earth.basics.evidence import evidence
from shellcheck_earth.basics.values import criteria_set, criteria_sets, fixed_values, sourced_values, sources
from shellcheck_earth.loads.scatter import stated_scatter
from shellcheck_earth.views.text.language import mark, spoken

__all__ = ["kept_sentences", "said_below", "said_source", "source_named"]

_NUMBER = re.compile(r"[+-]?\d+(?:\.\d+)?(?:e[+-]?\d+)?")
_HOW = re.compile(r"(.*) \(([^()]*)\)")
_BETWEEN = re.compile(r"(, |; |: )")


def said_below(text: str) -> str:
    """A title, a name or a remark of the floors below in the language of the page that is being written."""
    if spoken().language == "en" or not text:
        return text
    whole = _known(text)
    if whole is not None:
        return whole
    return "".join(part if _BETWEEN.fullmatch(part) else (_piece(part) or part) for part in _BETWEEN.split(text))


def _whole(text: str) -> str:
    """A text that the catalogue has as a whole, else as it is: names of publications are no sentences."""
    return spoken()(text) if spoken().knows(text) else text


def _piece(text: str) -> str | None:
    """One piece, as it stands or with a name in it; None where the catalogue does not have it."""
    found = _known(text)
    return _patterned(text) if found is None else found


def _known(text: str) -> str | None:
    """One piece as it stands, with a small first letter where it has one; None where the catalogue does not have it."""
    numbers = _NUMBER.findall(text)
    count = iter(range(len(numbers)))
    blank = _NUMBER.sub(lambda _: f"{{{next(count)}}}", text)
    for wanted, put_in in ((text, ()), (blank, numbers)):
        for tried in (wanted, wanted[:1].upper() + wanted[1:], wanted[:1].lower() + wanted[1:]):
            if spoken().knows(tried):
                found = spoken()(tried)
                if tried != wanted:
                    case = str.lower if wanted[:1].islower() else str.upper
                    found = case(found[:1]) + found[1:]
                return found.format(*put_in) if put_in else found
    return None


def _patterned(text: str) -> str | None:
    """A piece that names something else inside it."""
    for pattern in PATTERNS:
        form = re.escape(pattern).replace(r"\{", "{").replace(r"\}", "}")
        found = re.fullmatch(re.sub(r"{(\w+)}", r"(?P<\1>.+?)", form), text)
        if found is not None:
            return spoken()(pattern, **{name: said_below(part) for name, part in found.groupdict().items()})
    return None


PATTERNS = (
    mark("in {case}"),
    mark("{check} of {case} is not proven"),
    mark("with {input}"),
    mark("carrying {name}"),
    mark("forms out of {openings} and {last}"),
    mark("forms out of {openings}"),
    mark("{path} is not stated"),
    mark("{path} is not measured and beyond the range of such values"),
    mark("{path} is nothing that a test settles and beyond the range of such values"),
    mark("{check} is asked for less than its set says"),
)
"""Pieces with a name in them: tried in this order, after the pieces with numbers."""


def said_source(source: str) -> str:
    """A source and the remark behind it, each ended as a sentence: a publication under its own name, what this project
    says of itself in the language of the page.
    """
    said = source.rstrip(". ")
    for own in (sources()[key].text for key in OWN):
        if said == own:
            return f"{said_below(own)}."
    for row in sourced_values().values():
        if row.note and said == f"{row.source.text}. {row.note.rstrip('. ')}":
            return f"{source_named(row.source.text)}. {said_below(row.note).rstrip('. ')}."
    return f"{source_named(said)}."


def source_named(source: str) -> str:
    """A publication under its own name, how it is known said in the language of the page."""
    found = _HOW.fullmatch(source)
    if found is None or not spoken().knows(found[2]):
        return said_below(source)
    return f"{_whole(found[1])} ({_whole(found[2])})"


PIECES = (
    # checks
    mark("bed friction"),
    mark("geometric factor"),
    mark("strength"),
    mark("strength while building"),
    mark("wire tension"),
    mark("overall reserve"),
    mark("combined factors"),
    mark("standing without wire"),
    mark("base sliding"),
    mark("ground bearing"),
    mark("tipping"),
    mark("storm"),
    # states of the dome
    mark("finished"),
    mark("service moisture"),
    mark("as damp as placed"),
    mark("soaked through"),
    mark("every void full"),
    mark("every void full (what if"),
    mark("does not count)"),
    mark("snow all around"),
    mark("wire and its interlock gone"),
    mark("the foot of the wall soaked"),
    mark("building"),
    mark("courses {0} to {1} laid"),
    mark("courses up to {0} laid"),
    mark("crew on the top ring"),
    mark("day {0}"),
    mark("{0} h of rain"),
    mark("as wet as the rain so far left it"),
    mark("without the water's weight"),
    mark("buried {0}"),
    mark("stem {0}"),
    # loads from one side
    mark("with its openings"),
    mark("forms out of every opening"),
    mark("Wind towards {0} deg"),
    mark("lee {0}"),
    mark("inside {0}"),
    mark("even to {0} deg"),
    mark("Earthquake towards {0} deg"),
    mark("up"),
    mark("down"),
    mark("Snow drifted onto the half about {0} deg"),
    mark("Rain-soaked half about {0} deg"),
    mark("Snow on one half"),
    mark("Water in one half of the dome"),
    mark("One worker on the top ring"),
    mark("One worker on the top ring over {0} deg"),
    mark("all capacities"),
    mark("every capacity divided at once"),
    mark("on the ground"),
    mark("from every capacity divided at once"),
    mark("One worker"),
    mark("in three dimensions"),
    mark("door {0}"),
    mark("window {0}"),
    mark("vent {0}"),
    # what is handed into a ring
    mark("least weight"),
    mark("most weight"),
    mark("least thrust"),
    mark("most thrust"),
    mark("furthest in"),
    mark("furthest out"),
    mark("no weight"),
    mark("counted the most"),
    mark("counted the least"),
    mark("The engineer of what is handed in gives this force"),
    mark("with its range"),
    mark("and where it acts"),
    # earth against the wall
    mark("earth against the wall"),
    mark("three quarters of the earth against the wall"),
    mark("half of the earth against the wall"),
    mark("a quarter of the earth against the wall"),
    mark("earth against one side of the wall"),
    mark("three quarters of the earth against one side of the wall"),
    mark("half of the earth against one side of the wall"),
    mark("a quarter of the earth against one side of the wall"),
    mark("loaded"),
    mark("light and loaded"),
    mark("pressing the most"),
    mark("pressing the most and weighing on ledges"),
    mark("pressing the least and weighing on ledges"),
    # why there is no answer
    mark("the block model found no answer"),
    mark("its openings"),
    mark("opening {0}"),
    mark("width over the dome's diameter is {0}"),
    mark("its top over the dome's height is {0}"),
    mark("its top over the height that stands is {0}"),
    mark("there are {0}"),
    mark("the least wall between two of them is {0} m"),
    mark("and blocks were compared up to {0} only"),
    mark("and blocks were compared up to {0} m only"),
    mark("give its value"),
    mark("or none with the reason"),
    mark("water may press on the wall"),
    mark("it shakes the earth against the wall"),
    mark("earth reaches what carries the opening"),
    mark("which is not computed"),
    mark("criteria"),
    mark("neither a line nor its impossibility could be proven"),
    mark("proven in exact arithmetic"),
    mark("proven in exact arithmetic that it meets"),
    mark("proven in exact arithmetic that it falls short"),
    mark("a thrust line exists"),
    mark("no thrust line exists"),
    mark("not proven"),
    mark("not proven either way"),
    mark("the design cannot be written as a design file"),
    mark("nothing is proven"),
    mark("the dead load alone is not held by the ring-symmetric check"),
    mark("the blocks do not hold the dead load alone"),
    mark("the ring-symmetric check already finds no force path"),
    mark("the solver decided neither way"),
    mark("nothing is held"),
    mark("whatever the friction"),
    mark("friction without dilation did not settle"),
    mark("beyond the range of validation"),
    mark("the forces could not be confirmed in exact arithmetic"),
    # how a value is known, and what holds no number
    mark("stated"),
    mark("measured"),
    mark("assumed"),
    mark("proposed"),
    mark("computed"),
    mark("read"),
    # how and where a passage was read
    mark("page"),
    mark("transcription"),
    mark("abstract"),
    mark("excerpt"),
    mark("maker's table"),
    mark("trade article"),
    mark("arch on a tilting board"),
    mark("common practice"),
    mark("memory"),
    mark("the design file"),
    mark("none"),
    mark("yes"),
    mark("no"),
    mark("as placed"),
    mark("A cautious choice of this project"),
    # how a publication is known
    mark("highlights read"),
    mark("abstract read"),
    mark("read; few samples"),
    mark("read as a summary"),
    mark("read in a transcription"),
    mark("abstract and first page read"),
    mark("notes read, curves recalled, to be confirmed by the engineer"),
    mark("tables read; author and year recalled"),
    mark("read; author as listed"),
    mark("abstract read; author recalled"),
    mark("read; no test report behind it"),
    mark("read; the second in a transcription"),
    # loads that a site may have
    mark("wind"),
    mark("earthquake"),
    mark("snow"),
    mark("a crew on the top ring"),
    mark("the finished dome"),
    # shapes and fills
    mark("pointed"),
    mark("round"),
    mark("vent"),
    mark("window"),
    mark("door"),
    mark("cement"),
    mark("lime"),
    # where the limits of a share come from
    mark("independent domes"),
    mark("spread of the scramblings"),
    # answers of a comparison
    mark("meets"),
    mark("falls short"),
    mark("cannot say"),
    mark("not buildable"),
    mark("holds"),
    mark("strength set aside"),
)
"""Pieces of the titles and answers of the floors below."""

OWN = ("proposed", "practice", "derived", "second-blocks", "physics", "wire-articles", "fabric-makers", "fabric-tests")
"""Sources that are no publication with a name of its own, but what this project says of itself or of the trade."""


def kept_sentences() -> Iterator[str]:
    """Sentences that are kept beside the values: remarks, ways to measure, and what stands for a source."""
    for row in sourced_values().values():
        yield from (text for text in (row.note, row.how_to_measure) if text)
    yield from (row.note for row in fixed_values().values())
    for name in criteria_sets():
        yield from (row.note for row in criteria_set(name).values() if row.note)
    for passage in evidence().values():
        yield from (text for text in (passage.says, passage.noted) if text)
    for spread in stated_scatter().values():
        yield spread.what
        if spread.known in ("proposed", "common practice"):
            yield (_HOW.fullmatch(spread.source) or [spread.source] * 2)[1]
    for key in OWN:
        text = sources()[key].text
        found = _HOW.fullmatch(text)
        yield text if found is None else found[1]
