"""The public face: what `import shellcheck_earth` offers, and what it does not load to offer it."""

from __future__ import annotations

import inspect
import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest
from samples import classroom

import shellcheck_earth as se
from shellcheck_earth.basics import errors
from shellcheck_earth.basics.renderers import register, render, renderers
from shellcheck_earth.safety.result import Doubt
from shellcheck_earth.views.export.bundle import output_files
from shellcheck_earth.views.export.sheets import assessment_json

ROOT = Path(__file__).parents[1]
TEXT = """
[design]
name = "Orchard store"
[dome]
inside_diameter = "3 m"
[wall]
filled_width = "40 cm"
course_height = "13 cm"
[building]
scaffold_above = "0.3 m"
"""
"""Somebody stands on its two lowest rings only: quick to ask of blocks."""
FUNCTIONS = ("check", "choose", "compare", "explain", "parse", "read", "recheck", "sample", "survey")


def fresh(code: str) -> str:
    """What a new interpreter prints."""
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    return done.stdout.strip()


def test_everything_named_is_there_and_everything_the_brief_names_is_named() -> None:
    assert sorted(se.__all__) == se.__all__
    for name in se.__all__:
        assert getattr(se, name) is not None
    assert set(FUNCTIONS) | {"Design", "Result", "Margin", "Verdict"} <= set(se.__all__)
    assert {name for name in errors.__all__ if not name.isupper()} <= set(se.__all__)
    assert set(se.__all__) <= set(dir(se))


def test_a_name_that_is_not_there_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="no attribute 'assess'"):
        _ = se.assess


def test_nothing_heavy_is_loaded_before_it_is_asked_for() -> None:
    heavy = "sorted({'numpy', 'scipy', 'numba', 'pydantic', 'matplotlib', 'typst'} & set(sys.modules))"
    assert fresh(f"import sys, shellcheck_earth; print({heavy})") == "[]"
    assert fresh(f"import sys, shellcheck_earth as se; se.ShellcheckError; se.check; print({heavy})") == "[]"
    assert "numpy" in fresh(f"import sys, shellcheck_earth.safety.check; print({heavy})")  # the test can fail


@pytest.mark.parametrize("name", FUNCTIONS)
def test_public_functions_are_documented_whole(name: str) -> None:
    function = getattr(se, name)
    said = inspect.getdoc(function) or ""
    for section in ("Parameters", "Returns", "Raises", "Examples"):
        assert f"{section}\n{'-' * len(section)}" in said, section
    described = said.split("Parameters\n")[1].split("Returns\n")[0]
    for parameter in inspect.signature(function).parameters:
        assert parameter in described, parameter


def test_every_renderer_leads_somewhere() -> None:
    shown = {("Design", "svg"), ("Result", "html"), ("Result", "data"), ("Result", "files")}
    assert set(renderers()) == shown | {("Design", "with value"), ("Design", "text")}
    for where in renderers().values():
        module, function = where.split(":")
        assert callable(getattr(__import__(module, fromlist=[function]), function))


def test_the_table_of_renderers_refuses_what_leads_nowhere() -> None:
    with pytest.raises(ValueError, match="module:function"):
        register({("Result", "png"): "shellcheck_earth.views"})
    with pytest.raises(LookupError, match="object as html"):
        render(object(), "html")


def test_read_and_parse_agree_and_refuse(tmp_path: Path) -> None:
    path = tmp_path / "store.toml"
    path.write_text(TEXT)
    assert se.read(str(path)) == se.read(path) == se.parse(TEXT)
    with pytest.raises(se.InputError, match=r"dome\.inside_diameter"):
        se.parse(TEXT.replace('"3 m"', '"3 apples"'))
    with pytest.raises(se.UnbuildableError):
        se.parse(TEXT.replace('"3 m"', '"2 m"').replace('"13 cm"', '"60 cm"'))
    assert issubclass(se.UnbuildableError, se.InputError) and issubclass(se.InputError, se.ShellcheckError)


@pytest.fixture(scope="module")
def found() -> se.Result:
    return se.check(se.parse(TEXT), explore=False)


def test_a_file_and_the_design_in_it_get_one_answer(found: se.Result, tmp_path: Path) -> None:
    path = tmp_path / "store.toml"
    path.write_text(TEXT)
    assert assessment_json(se.check(path, explore=False)) == assessment_json(found)


def test_the_saved_files_are_those_of_the_command(found: se.Result, tmp_path: Path) -> None:
    written = found.save(tmp_path / "out")
    expected = output_files(found)
    assert {path.name for path in written} == set(expected)
    assert (tmp_path / "out" / "assessment.json").read_bytes() == expected["assessment.json"]
    assert json.loads(expected["assessment.json"]) == found.to_dict()
    (tmp_path / "taken").write_text("a diary")
    with pytest.raises(se.OutputError, match="expected a folder"):
        found.save(str(tmp_path / "taken"))


def test_a_saved_certificate_is_proven_again(found: se.Result, tmp_path: Path) -> None:
    found.save(tmp_path)
    (tmp_path / "store.toml").write_text(TEXT)
    for design in (tmp_path / "store.toml", str(tmp_path / "store.toml"), found.design):
        assert se.recheck(tmp_path / "certificate.json", design).verdict == found.verdict
    other = se.recheck(tmp_path / "certificate.json", se.parse(TEXT + "\n"))
    assert other.verdict == "cannot say" and "another design file" in other.lines[0]
    missing = se.recheck(tmp_path / "no.json", found.design)
    assert missing.verdict == "cannot say" and "expected a readable file" in missing.lines[0]


def test_a_notebook_shows_verdict_caution_section_and_margins(found: se.Result) -> None:
    page = found._repr_html_()
    ElementTree.fromstring(page)  # well formed, the drawing included
    order = [page.index(word) for word in ("Falls short", "Caution.", "<svg", "<table", "Cautions.")]
    assert order == sorted(order)
    assert "licensed structural engineer" in page and "not a permit" in page
    for margin in found.margins:
        assert margin.check in page
    assert "safe" not in page.replace("safety", "").lower()


def test_a_notebook_says_why_nothing_can_be_said(found: se.Result) -> None:
    doubts = (Doubt("load not stated", "site.wind_pressure"), Doubt("proofs not asked"))
    page = replace(found, verdict="cannot say", doubts=doubts)._repr_html_()
    assert "[?] Cannot say" in page and page.count("In doubt.") == 2
    assert "site.wind_pressure is not stated" in page and "No proofs were asked for" in page
    many = replace(found, verdict="cannot say", doubts=doubts * 5)._repr_html_()
    assert "4 more reasons are in result.doubts" in many


def test_names_from_a_file_cannot_write_into_the_page() -> None:
    hostile = "<script>alert(1)</script> & '\"'"
    page = se.check(classroom(name=hostile), proofs=False, explore=False)._repr_html_()
    assert "<script>" not in page and "\x1b" not in page
    ElementTree.fromstring(page)


def test_a_design_shows_its_section_without_a_verdict() -> None:
    svg = se.parse(TEXT)._repr_svg_()
    assert svg is not None
    ElementTree.fromstring(svg)
    assert "Orchard store" in svg and "thrust" not in svg.lower() and "1.7 m" in svg
    assert (
        classroom(wall=classroom().wall.__class__(0.5, 0.385, 1.0, 0.03, 2, "woven", 12.0, False, None))._repr_svg_()
        is None
    )


def test_what_a_study_found_is_one_line() -> None:
    design = se.parse(TEXT)
    compared = se.compare(design, "fill.dry_density=1600..1900:3 kg/m3", workers=1)
    sampled = se.sample(design, 64, 1, workers=1)
    for shown in (repr(compared), repr(sampled)):
        assert "\n" not in shown and len(shown) < 300
    assert "3 falls short" in repr(compared)


def test_designs_in_hand_and_their_files_compare_alike(tmp_path: Path) -> None:
    path = tmp_path / "store.toml"
    path.write_text(TEXT)
    vary = "dome.inside_diameter=2.5,3 m"
    assert se.compare(path, vary, workers=1).points == se.compare(se.read(path), [vary], workers=1).points
    both = se.compare([path, se.parse(TEXT.replace("store", "kiosk"))], workers=1)
    assert both.designs == ("Orchard store", "Orchard kiosk")
    with pytest.raises(se.InputError, match="at least one design"):
        se.compare([])
