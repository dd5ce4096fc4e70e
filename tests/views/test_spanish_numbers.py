"""The studies in numbers (uncertain inputs, a dome that settles, a ground that moves, site readings) in Spanish:
nothing of them is left in English, and what programs read is the same in every language.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from certificates import SMALL
from layouts import assert_words_lie_free
from samples import sturdy
from spanish import assert_spanish, changed, left_in_english, listening, read_all, said_in, words_of, written_in_both

from shellcheck_earth.basics.progress import quiet
from shellcheck_earth.design.design import CourseGroup
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.scatter import stated_scatter
from shellcheck_earth.studies.sample.study import Chance, make_study, run_study
from shellcheck_earth.studies.settle.lean import MOST_LEAN, Lean
from shellcheck_earth.studies.settle.moved import Movement
from shellcheck_earth.studies.settle.soaked import Soaked
from shellcheck_earth.studies.settle.study import NO_HEIGHT, Settling, Short, settle_design
from shellcheck_earth.studies.shake.ground import lean, pulse
from shellcheck_earth.studies.shake.study import Shaking, shake_design
from shellcheck_earth.views.cli.main import run
from shellcheck_earth.views.cli.soil import soil_report, soil_starter
from shellcheck_earth.views.figures.settle import settle_svg
from shellcheck_earth.views.figures.shake import shake_svg
from shellcheck_earth.views.pages.sample import chance_document, chance_lines
from shellcheck_earth.views.text.language import REVIEW, speaking, words
from shellcheck_earth.views.text.settle import settle_words
from shellcheck_earth.views.text.shake import asked_words, found_words, shake_words

STORE = Path(__file__).parents[2] / "reports" / "tool-store" / "design.toml"

KEYS = sorted({*stated_scatter()}, key=len, reverse=True)
PUBLISHED = [one.source.partition(" (")[0] for one in stated_scatter().values() if one.known in ("memory", "abstract")]


@pytest.fixture(scope="module")
def chances() -> list[Chance]:
    """A real study, one in which every dome has one answer, one of a dome with what it does not see, and one of courses
    with fills of their own."""
    real = run_study(make_study(sturdy(), stated_scatter(), 256, 1), quiet)
    fill = sturdy().fill
    weak = replace(fill, strength_as_placed=60.0, strength_wet=200.0)
    ranges = ((None, 0, fill), (1, 2, replace(fill, dry_density=1900.0)), (14, None, weak))
    grouped = replace(sturdy(), groups=tuple(CourseGroup(*one) for one in ranges))
    several = run_study(make_study(grouped, stated_scatter(), 256, 1), quiet)
    whole = replace(grouped, groups=(CourseGroup(None, None, weak),))
    alike = replace(
        real,
        indices={name: () for name in real.indices},
        margins=replace(real.margins, orders={name: () for name in real.margins.orders}),
        left_out=replace(real.left_out, openings=True, sideways=True, crew=True),
    )
    ends = {
        name: replace(one, at_least=0.4, at_most=0.3, low=real.margins.ends[0], high=real.margins.ends[1])
        for name, one in real.margins.spread.items()
    }
    ended = replace(real, margins=replace(real.margins, spread=ends))
    return [real, alike, ended, several, replace(several, design=whole)]


def test_what_chance_says_is_spanish(chances: list[Chance]) -> None:
    with speaking(listening()) as heard:
        said = [text for one in chances for text in (*said_in(chance_document(one)), " ".join(chance_lines(one)))]
    assert_spanish(heard, said, [chances[0].design.name, *KEYS, *PUBLISHED])


def test_chance_writes_the_same_data_in_every_language(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    english, spanish = written_in_both(tmp_path, capsys, "chance", str(STORE), "--samples", "16", "--workers", "1")
    assert changed(english, spanish) == {"chance.pdf"}


def settled() -> Iterator[Settling]:
    """A real study of everything that can be stated, one of nothing, and every way that a movement can end."""
    stated = Movement(compliance=1e-4, spread=0.02, bed_tilt=0.05, sustained=0.6, opened=3, wire=False)
    real = settle_design(sturdy(), stated)
    short = Short("bed friction", "finished-dry", 7)
    yield real
    one = real.reached[0]
    ways = (
        replace(one, stands_to=None),
        replace(one, first=None, stands_to=one.most),
        replace(one, first=short, meets_to=None, stands_to=one.most),
        replace(one, first=replace(short, course=None), meets_to=0.0, stands_to=one.most / 2),
        replace(one, first=Short(NO_HEIGHT, "finished-damp", None), meets_to=one.most / 3, stands_to=one.most / 2),
    )
    lean = Lean(0.04, 0.01, True, True, 0.05, MOST_LEAN, MOST_LEAN, 1.0, "finished-dry", "")
    for meets, stands, why in ((True, True, ""), (False, True, ""), (False, False, ""), (None, None, SETTLED_NOT)):
        yield replace(real, lean=replace(lean, meets=meets, stands=stands, meets_to=0.0 if stands else 0.02, why=why))
    soaked = Soaked(1.0, 1.3, 1.25, 1.5, 3.0, "finished-damp", water=True)
    left = ((1.3, 1.5, ""), (1.1, 0.0, ""), (0.4, 0.0, ""), (2.0, 7.0, ""), (None, None, SETTLED_NOT))
    for reserve, reached, why in left:
        dry = reserve == 1.1
        yield replace(real, soaked=replace(soaked, reserve=reserve, meets_to=reached, why=why, water=not dry))
    yield replace(real, stated=Movement(), reached=(*ways, *real.reached[1:]), together=short, stands_together=False)
    yield replace(real, reached=(*ways, *real.reached[1:]), together=short, stands_together=False)


def test_what_settle_says_is_spanish() -> None:
    with speaking(listening()) as heard:
        found = list(settled())
        charts = [settle_svg(one) for one in found]
        said = [text for one in found for text in settle_words(one)]
    assert_spanish(heard, [*said, *(text for chart in charts for text in words_of(chart))], ["Sturdy store", *QUOTED])
    assert_words_lie_free(charts[0])


SETTLED_NOT = "friction without dilation did not settle"
QUOTED = (
    '"A dome that moves"',
    "shake --shape",
    "lean`",
    "--sunk",
    "--soaked",
    '--sample "4 mm of 130 mm under 60 kPa"',
    sturdy().name,
)
"""Named as they stand: a heading of another document, options of commands, the design."""


@pytest.fixture(scope="module")
def shaken() -> list[Shaking]:
    still, ground = (
        shake_design(parse_design(SMALL), pulse("sine", 0.02, 0.3, 0.0), 0.0, "dry"),
        pulse("half sine", 0.02, 0.3, 0.0),
    )
    block = len(still.layout.blocks) - 1
    stopped = [replace(still.found, how="limit", reached=(why, block)) for why in ("moved", "tilt", "slid")]
    return [
        still,
        replace(still, ground=ground, found=replace(still.found, how="not at rest")),
        replace(still, ground=lean(0.05, 2.0, 0.0)),
        replace(still, ground=replace(ground, kind="record", name="valle.csv")),
        *(replace(still, found=found) for found in stopped),
    ]


def test_what_shake_says_is_spanish(shaken: list[Shaking]) -> None:
    with speaking(listening()) as heard:
        films = [shake_svg(one, at=-1) for one in (shaken[0], shaken[-1])]
        said = [text for one in shaken for text in (*shake_words(one), asked_words(one), found_words(one))]
    assert_spanish(heard, [*said, *(text for film in films for text in words_of(film))], QUOTED)
    for film in films:
        assert_words_lie_free(film)


@pytest.mark.parametrize(
    ("command", "options", "film"),
    [("settle", ["--spread", "5 mm"], "settle.svg"), ("shake", ["--peak", "0.02", "--period", "0.2 s"], "shake.svg")],
)
def test_only_the_drawing_is_in_another_language(
    command: str, options: list[str], film: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "shelter.toml").write_text(SMALL, encoding="utf-8")
    for language in ("en", "es"):
        asked = [
            command,
            str(tmp_path / "shelter.toml"),
            *options,
            "--language",
            language,
            "--out",
            str(tmp_path / language),
        ]
        assert run(asked) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "Written to" in said and "Escrito en" in said and words("es")(REVIEW) in said
    english, spanish = (read_all(tmp_path / language) for language in ("en", "es"))
    assert changed(english, spanish) == {film}


def test_an_unknown_language_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    for command in (["settle"], ["shake", "--peak", "0.1"], ["soil"]):
        assert run([*command, str(STORE), "--language", "xx"]) == 2
        assert "--language: expected en or es" in " ".join(capsys.readouterr().err.split())


FEW = """
[drying]
wet = "1250 g"
dry = "1165 g"
[[tilt]]
bed = "dry"
angle = "33 deg"
mass = "240 kg"
width = "350 mm"
length = "800 mm"
[[crush]]
state = "dry"
width = "150 mm"
height = "300 mm"
loads = ["3.4 kN"]
[wire]
loads = ["4.1 kN"]
"""


def test_site_readings_are_asked_for_and_answered_in_spanish(tmp_path: Path) -> None:
    few = tmp_path / "few.toml"
    few.write_text(FEW)
    with speaking(listening()) as heard:
        starter = soil_starter()
        full = tmp_path / "full.toml"
        full.write_text(starter, encoding="utf-8")
        reports = [soil_report(path) for path in (full, few)]
    said = [*starter.splitlines(), *(" ".join(one.text.split()) for one in reports)]
    said += [line for one in reports for line in one.toml.splitlines() if line.startswith("#")]
    assert_spanish(heard, said, ["dry | as placed | wet", "dry | wet", "bed = "])
    assert tomllib.loads(starter) == tomllib.loads(soil_starter())
    assert re.sub(r"#.*", "", reports[0].toml) == re.sub(r"#.*", "", soil_report(full).toml)
    assert left_in_english([soil_starter()], [])  # the same file in English is English


def test_drawings_are_spanish_and_bodies_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    ezdxf = pytest.importorskip("ezdxf")
    design = STORE.parents[1] / "seed-bank" / "design.toml"
    english, spanish = written_in_both(tmp_path, capsys, "draw", str(design))
    assert changed(english, spanish) == {"section.dxf", "plan.dxf", "elevations.dxf"}
    for name in ("section", "plan", "elevations"):
        texts = [one.dxf.text for one in ezdxf.readfile(tmp_path / "es" / f"{name}.dxf").modelspace().query("TEXT")]
        assert any("arranque" in text or "rumbo" in text.lower() or "puerta" in text for text in texts)
        left = left_in_english(texts, [tomllib.loads(design.read_text())["design"]["name"], "`check`"])
        assert not left, left
        assert words("es")(REVIEW) in texts
