"""A set of factors in a file of its own: read, refused, kept with the design, proven, no way to an easier answer."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from certificates import SMALL, certified, sealed

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.criteria import FACTORS, Combination
from shellcheck_earth.design.digest import design_content, design_sha256
from shellcheck_earth.design.factor_set import FactorSet
from shellcheck_earth.design.file import read_document, read_text
from shellcheck_earth.design.write import design_document, design_toml, document_toml, source_text
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import parse_design, read_design
from shellcheck_earth.loads.combinations import combinations, set_rows
from shellcheck_earth.mechanics.proof.block_cases import block_demands
from shellcheck_earth.mechanics.proof.check import recheck, recheck_texts
from shellcheck_earth.mechanics.proof.combinations import set_file
from shellcheck_earth.mechanics.proof.doubts import doubts
from shellcheck_earth.mechanics.proof.reading import RefusedError, read
from shellcheck_earth.safety.doubts import doubts_of, grounds_not_asked, loads_no_row_has, lowered_criteria

EXAMPLES = Path(__file__).parents[2] / "reports" / "examples"
ROW: dict[str, Any] = {
    "name": "valley 1", "clause": "3.1", "source": "invented", "permanent": 1.3, "imposed": 1.4, "snow": 1.5,
    "water": 1.2, "wind": 1.6, "earthquake": 1.5, "friction": 1.2, "cohesion": 1.2, "strength": 2.9,
    "strength_building": 2.1, "wire": 1.4,
}  # fmt: skip
HEAD = '[factor_set]\nname = "Valley (invented)"\ntitle = "Code of the valley"\nedition = "2030"\n'
FACTOR = '[factor_set.required]\nbed_friction = { value = 1.7, clause = "2.4", source = "invented" }\n'
NAMED = '[criteria]\nset_file = "valley.toml"\n'


LONG = "# " + 600_000 * "x" + "\n"


def _row(row: dict[str, Any]) -> str:
    said = (f'{key} = "{value}"' if isinstance(value, str) else f"{key} = {value}" for key, value in row.items())
    return "[[factor_set.combination]]\n" + "\n".join(said) + "\n"


WHOLE = HEAD + FACTOR + _row(ROW)


def _written(folder: Path, of_set: str = WHOLE, design: str = SMALL + NAMED) -> Path:
    (folder / "valley.toml").write_text(of_set, encoding="utf-8")
    path = folder / "design.toml"
    path.write_text(design, encoding="utf-8")
    return path


def test_the_file_is_read_alike_by_both_readers_and_comes_beside_the_named_set(tmp_path: Path) -> None:
    design = read_design(_written(tmp_path))
    own = design.criteria.own_set
    assert own is not None and (own.name, own.title, own.edition) == ("Valley (invented)", "Code of the valley", "2030")
    assert [(one.check, one.value, one.clause, one.source) for one in own.required] == [
        ("bed friction", 1.7, "2.4", "invented")
    ]
    (row,) = combinations(design.criteria)
    assert (row.name, row.clause, row.source, row.strength_tested) == ("valley 1", "3.1", "invented", 2.9)
    assert design.criteria.required["bed friction"] == 1.7
    assert design.criteria.required["tipping"] == 1.5  # the named set's own
    theirs = read(source_text(design))
    assert [one.name for one in theirs.rows] == ["valley 1"]
    assert [float(theirs.rows[0][key]) for key in FACTORS] == [getattr(row, key) for key in FACTORS]
    assert {check: float(value) for check, value in theirs.required.items()} == dict(design.criteria.required)


def test_beside_a_set_with_rows_all_of_them_stay(tmp_path: Path) -> None:
    design = read_design(_written(tmp_path, design=SMALL + '[criteria]\nset = "EN 1990"\nset_file = "valley.toml"\n'))
    names = [row.name for row in combinations(design.criteria)]
    assert names == [*(row.name for row in set_rows("EN 1990")), "valley 1"]
    assert names == [row.name for row in read(source_text(design)).rows]


def test_a_row_of_the_design_stands_for_that_of_its_name_in_the_file(tmp_path: Path) -> None:
    own = _row({key: value for key, value in ROW.items() if key != "source"} | {"wind": 2.0})
    path = _written(tmp_path, design=SMALL + NAMED + own.replace("factor_set", "criteria"))
    design = read_design(path)
    assert [row.wind for row in combinations(design.criteria)] == [2.0] == [r["wind"] for r in read(design.text).rows]
    assert lowered_criteria(design) == ()


@pytest.mark.parametrize(
    ("of_set", "said"),
    [
        (HEAD + _row({k: v for k, v in ROW.items() if k != "clause"}), r"factor_set.combination[1].clause: expected"),
        (HEAD + _row({k: v for k, v in ROW.items() if k != "source"}), r"factor_set.combination[1].source: expected"),
        (HEAD + _row(ROW | {"snow": "1.5 kPa"}), "factor_set.combination[1].snow: expected a factor from 0 to 10"),
        (HEAD + _row(ROW | {"friction": 0.5}), "factor_set.combination[1].friction: expected a factor from 1 to 100"),
        (HEAD + _row({k: v for k, v in ROW.items() if k != "snow"}), "factor_set.combination[1].snow: expected"),
        (HEAD + _row(ROW | {"hail": 1}), "factor_set.combination[1].hail: expected one of"),
        (HEAD + _row(ROW) + _row(ROW), "factor_set.combination: expected rows of different names"),
        (HEAD.replace('edition = "2030"\n', "") + _row(ROW), "factor_set.edition: expected a text"),
        (HEAD.replace("Code of the valley", " ") + _row(ROW), "factor_set.title: expected a text"),
        (HEAD, "factor_set: expected at least one row, or one factor"),
        (HEAD + "country = 1\n" + _row(ROW), "factor_set.country: expected one of"),
        (HEAD + FACTOR.replace(', source = "invented"', ""), "factor_set.required.bed_friction: expected { value"),
        (HEAD + FACTOR.replace("1.7", "0.9"), "factor_set.required.bed_friction.value: expected a factor from 1"),
        (HEAD + FACTOR.replace("bed_friction", "luck"), "factor_set.required.luck: expected one of bed_friction"),
        (HEAD + FACTOR + FACTOR.splitlines()[1].replace("bed_friction", '"bed friction"'), "one factor for each check"),
        (HEAD + "combination = 3\n", "factor_set.combination: expected up to 40 tables"),
        (WHOLE + "[site]\nsnow = 0\n", "the file: expected one table, [factor_set]"),
        ("", "the file: expected one table, [factor_set], found nothing"),
        ("strength =", "the file: expected TOML"),
    ],
)
def test_a_file_that_is_not_whole_is_refused_with_the_path_in_it(of_set: str, said: str, tmp_path: Path) -> None:
    path = _written(tmp_path, of_set)
    with pytest.raises(InputError, match=re.escape(said)) as refused:
        read_design(path)
    assert str(refused.value).count("expected") == 1 and "valley.toml" in str(refused.value)
    if of_set.startswith("[factor_set]"):  # the checker, alone with the text, refuses it too
        with pytest.raises(RefusedError, match=r"factor_set|site"):
            read(SMALL + NAMED + "\n" + of_set)


@pytest.mark.parametrize(
    ("design", "said"),
    [
        (NAMED.replace("valley", "no-such"), "no-such.toml: expected a file of a set of factors"),
        (NAMED.replace('"valley.toml"', "3"), "criteria.set_file: expected the name of a file"),
        (NAMED.replace('"valley.toml"', '""'), "expected a file of a set of factors, found a folder"),
        (NAMED.replace("set_file", "set_fil"), "nearest: set_file"),
    ],
)
def test_a_name_that_names_no_file_is_refused(design: str, said: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=re.escape(said)):
        read_design(_written(tmp_path, design=SMALL + design))


def test_keys_before_the_first_table_would_fall_into_the_design(tmp_path: Path) -> None:
    """Put behind the design they would be keys of its last table: the design's own factor, from a file."""
    of_set = 'factor_set.name = "x"\nfactor_set.title = "y"\nfactor_set.edition = "z"\n'
    of_set += "factor_set.required = { tipping = { value = 2, clause = '1', source = 's' } }\n"
    with pytest.raises(InputError, match=re.escape("expected a file that begins with the line [factor_set]")):
        read_design(_written(tmp_path, of_set))


def test_a_text_alone_needs_the_table_and_a_copy_has_it(tmp_path: Path) -> None:
    for reader, error in ((parse_design, InputError), (read, RefusedError)):
        with pytest.raises(error, match=r"criteria\.set_file"):
            reader(SMALL + NAMED)
    path = _written(tmp_path)
    design = read_design(path)
    copies = (design.text, design_toml(design), document_toml(design_document(design)), read_text(path))
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    for number, text in enumerate((*copies, document_toml(read_document(path)))):
        copy = elsewhere / f"{number}.toml"
        copy.write_text(text, encoding="utf-8")
        assert parse_design(text).criteria == design.criteria == read_design(copy).criteria


def test_a_copy_beside_another_set_of_that_name_is_refused(tmp_path: Path) -> None:
    """What the copy holds and what its folder holds could both be meant."""
    path = _written(tmp_path)
    path.write_text(read_text(path), encoding="utf-8")
    assert read_design(path).criteria.own_set is not None
    (tmp_path / "valley.toml").write_text(WHOLE.replace("wind = 1.6", "wind = 1.0"), encoding="utf-8")
    with pytest.raises(InputError, match=re.escape("criteria.set_file: expected the set of factors that [factor_set]")):
        read_design(path)


def test_odd_ends_of_files_are_read_alike(tmp_path: Path) -> None:
    """No line end at the end of the design, other line ends, marks before either text."""
    usual = read_design(_written(tmp_path)).criteria
    for design, of_set in (
        ((SMALL + NAMED).rstrip("\n"), WHOLE),
        ("\ufeff" + SMALL + NAMED, "\ufeff" + WHOLE),
        ((SMALL + NAMED).replace("\n", "\r\n"), WHOLE.replace("\n", "\r\n")),
        (SMALL + NAMED + "# a last remark", "# a first one\n" + WHOLE),
    ):
        (tmp_path / "valley.toml").write_bytes(of_set.encode())
        path = tmp_path / "design.toml"
        path.write_bytes(design.encode())
        assert read_design(path).criteria == usual
        text = read_design(path).text.encode()
        assert recheck_texts(sealed(certified(text.decode(), "meets")), text).verdict == "meets"
        (tmp_path / "certificate.json").write_bytes(sealed(certified(text.decode(), "meets")))
        assert recheck(tmp_path / "certificate.json", path).verdict == "meets"


def test_the_proof_is_bound_to_the_file(tmp_path: Path) -> None:
    path = _written(tmp_path)
    design = read_design(path)
    (tmp_path / "certificate.json").write_bytes(sealed(certified(design.text, "meets")))

    def found() -> str:
        return recheck(tmp_path / "certificate.json", path).verdict

    assert found() == "meets"
    for altered in (WHOLE.replace("wind = 1.6", "wind = 1.5"), WHOLE + "# a remark\n", HEAD + FACTOR, ""):
        (tmp_path / "valley.toml").write_text(altered, encoding="utf-8")
        assert found() == "cannot say"
    (tmp_path / "valley.toml").unlink()
    report = recheck(tmp_path / "certificate.json", path)
    assert report.verdict == "cannot say" and "valley.toml" in report.lines[0]
    assert recheck_texts(sealed(certified(design.text, "meets")), (SMALL + NAMED).encode()).verdict == "cannot say"


def test_the_digest_is_of_the_set_too_and_that_of_other_designs_is_as_before(tmp_path: Path) -> None:
    found = {design_sha256(read_design(_written(tmp_path, text))) for text in (WHOLE, WHOLE.replace("1.7", "1.8"))}
    bare = parse_design(SMALL)
    assert len(found | {design_sha256(bare)}) == 3
    assert "own_set" not in design_content(bare) and "own_set" in design_content(read_design(_written(tmp_path)))


def test_what_the_file_asks_less_of_ends_in_cannot_say(tmp_path: Path) -> None:
    """A factor under the named set's, a row of its name under its row, the design under the file: each alone."""

    def lowered(of_set: str, criteria: str = NAMED) -> list[str]:
        design = read_design(_written(tmp_path, of_set, SMALL + criteria))
        theirs, mine = read(design.text), [name for name, _, _ in lowered_criteria(design)]
        assert set(mine) == set(theirs.asked.lowered)
        kinds = [doubt.kind for doubt in doubts_of(build_dome(design))]
        assert kinds.count("criteria lowered") == len(mine)
        assert sum(said.startswith("criteria: ") for said in doubts(theirs)) == len(mine)
        return mine

    en = NAMED + 'set = "EN 1990"\n'
    assert lowered(WHOLE) == []
    assert lowered(HEAD + FACTOR.replace("1.7", "1.4")) == ["bed friction"]
    assert lowered(WHOLE, NAMED + "bed_friction = 1.65\n") == ["bed friction"]  # over common practice, under the file
    assert lowered(WHOLE, NAMED + "bed_friction = 1.75\n") == []
    usual = next(row for row in set_rows("EN 1990") if row.name == "DA1-C2")
    like = ROW | {"name": usual.name} | {key: getattr(usual, key) for key in FACTORS}
    assert lowered(HEAD + _row(like), en) == []
    for key in ("wind", "wire", "strength", "friction", "imposed"):
        assert lowered(HEAD + _row(like | {key: getattr(usual, key) - 0.2}), en) == [f"DA1-C2: {key}"]
    nothing = dict.fromkeys(("imposed", "snow", "water", "wind", "wind_strength_level", "earthquake"), 0)
    assert len(lowered(HEAD + _row(like | nothing), en)) == 4
    below_file = _row({k: v for k, v in ROW.items() if k != "source"} | {"wire": 1.3}).replace("factor_set", "criteria")
    assert lowered(WHOLE, NAMED + below_file) == ["valley 1: wire"]


LOADED = SMALL.replace('snow = { value = "none", reason = "no snow lies in this valley" }', 'snow = "0.4 kPa"')
LOADED = LOADED.replace(
    'wind_pressure = { value = "none", reason = "walled orchard, invented example" }', 'wind_pressure = "0.3 kPa"'
)
LOADED = LOADED.replace('earthquake = { value = "none", reason = "no shaking, invented example" }', "earthquake = 0.05")


@pytest.mark.parametrize(
    ("key", "path"),
    [
        ("snow", "site.snow"), ("wind", "site.wind_pressure"), ("earthquake", "site.earthquake"),
        ("imposed", "building.worker"),
    ],
)  # fmt: skip
def test_a_set_that_forgets_a_load_of_the_design_ends_in_cannot_say(key: str, path: str, tmp_path: Path) -> None:
    whole = read_design(_written(tmp_path, design=LOADED + NAMED))
    assert loads_no_row_has(whole) == () and not any("factor_set" in said for said in doubts(read(whole.text)))
    short = HEAD + FACTOR + _row(ROW | {key: 0})
    design = read_design(_written(tmp_path, short, LOADED + NAMED))
    assert loads_no_row_has(design) == (path,)
    assert [doubt.path for doubt in doubts_of(build_dome(design)) if doubt.kind == "load without a row"] == [path]
    assert [said for said in doubts(read(design.text)) if said.startswith("factor_set: ")] == [
        f"factor_set: no row has {key}, which the design states"
    ]
    # rows of the named set have it: the file comes beside them
    beside = read_design(_written(tmp_path, short, LOADED + NAMED + 'set = "EN 1990"\n'))
    assert loads_no_row_has(beside) == ()
    # rows of a design file are no set, and need not know every load
    rows = _row({k: v for k, v in ROW.items() if k != "source"} | {key: 0}).replace("factor_set", "criteria")
    assert loads_no_row_has(parse_design(LOADED + rows)) == ()


def test_a_wind_at_strength_level_needs_a_factor_of_that_column(tmp_path: Path) -> None:
    said = LOADED + 'wind_basis = "strength level"\n' + NAMED
    design = read_design(_written(tmp_path, HEAD + _row(ROW | {"wind_strength_level": 0}), said))
    assert loads_no_row_has(design) == ("site.wind_pressure",)
    assert "factor_set: no row has wind, which the design states" in doubts(read(design.text))


def test_factors_of_nothing_leave_what_the_named_set_asks(tmp_path: Path) -> None:
    """The weakest row that can be written, and the weakest factor, take nothing off common practice."""
    least = {key: 0 if value == 0 or key in ("imposed", "snow", "water", "wind", "earthquake") else 1
             for key, value in ROW.items() if not isinstance(value, str)}  # fmt: skip
    of_set = HEAD + FACTOR.replace("1.7", "1.5") + _row(ROW | least)
    design, bare = read_design(_written(tmp_path, of_set)), parse_design(SMALL)
    assert design.criteria.required == bare.criteria.required
    ours, theirs = read(design.text), read(SMALL)
    assert ours.required == theirs.required and not ours.asked.has_rows
    assert loads_no_row_has(design) == ("building.worker",)


def _made(change: Callable[[FactorSet], Any]) -> Any:
    row = Combination("a", **dict.fromkeys(FACTORS, 1.0), clause="1", source="s", capacities="s")
    own = change(FactorSet("n", "t", "e", rows=(row,)))
    design = parse_design(SMALL)
    return replace(design, criteria=replace(design.criteria, own_set=own))


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda _: 3, "a FactorSet, or None"),
        (lambda own: replace(own, rows=[]), "a FactorSet, or None"),
        (lambda own: replace(own, edition=""), r"factor_set.edition"),
        (lambda own: replace(own, rows=(own.rows[0], own.rows[0])), "rows of different names"),
        (lambda own: replace(own, rows=(replace(own.rows[0], clause=""),)), r"factor_set.combination\[1\].clause"),
        (lambda own: replace(own, rows=(replace(own.rows[0], wire=0.5),)), r"factor_set.combination\[1\].wire"),
    ],
)
def test_a_set_made_in_python_is_held_to_the_same(change: Callable[[FactorSet], Any], said: str) -> None:
    assert _made(lambda own: own).criteria.own_set.name == "n"
    with pytest.raises(InputError, match=said):
        _made(change)


def test_the_checker_looks_for_no_file_where_none_is_named() -> None:
    assert set_file((SMALL + NAMED).encode()) == "valley.toml"
    for text in (SMALL, SMALL + NAMED + WHOLE, SMALL + "[criteria]\nset_file = 3\n", "no toml", "criteria = 3\n"):
        assert set_file(text.encode()) == ""
    assert set_file(b"\xff") == ""


def test_the_example_is_said_to_be_invented_and_every_part_names_its_clause() -> None:
    design = read_design(EXAMPLES / "national-set-shed.toml")
    own = design.criteria.own_set
    assert own is not None and "invented" in own.name and "invented" in own.title
    assert all(one.clause and "invented" in one.source for one in (*own.required, *own.rows))
    assert lowered_criteria(design) == () and loads_no_row_has(design) == ()


@pytest.mark.parametrize("name", ["on the ground", "all capacities", " On the Ground"])
def test_no_row_takes_the_place_of_one_that_the_program_asks_by_itself(name: str, tmp_path: Path) -> None:
    """Ten times the wind in a row called "on the ground" was dropped by the checker, and ten times it met."""
    for text in (HEAD + _row(ROW | {"name": name}), _row(ROW | {"name": name}).replace("factor_set", "criteria")):
        of_set = text.startswith(HEAD)
        joined = LOADED + (NAMED + text if of_set else text)
        with pytest.raises(InputError, match=r"combination\[1\].name: expected a name that no row"):
            read_design(_written(tmp_path, text, LOADED + NAMED)) if of_set else parse_design(joined)
        with pytest.raises(RefusedError, match="names that no row of the program's own has"):
            read(joined)


def test_the_checker_asks_no_two_cases_under_one_name() -> None:
    """Whatever lets a name through twice: one proof would stand for both."""
    design = read(LOADED + '[criteria]\nset = "EN 1990"\n')
    assert len({one.name for one in block_demands(design)}) == len(block_demands(design))
    twice = tuple(replace(row, name="one") for row in design.asked.rows)
    with pytest.raises(RefusedError, match="criteria: expected rows of different names"):
        block_demands(replace(design, asked=replace(design.asked, rows=twice)))


def test_a_ground_divided_in_a_row_is_in_doubt_where_no_blocks_are_asked_it(tmp_path: Path) -> None:
    for key in ("ground_friction", "ground_bearing"):
        text = HEAD + _row(ROW | {key: 100})
        design = read_design(_written(tmp_path, text, SMALL + NAMED))
        assert grounds_not_asked(design) == (ROW["name"],)
        assert [one.path for one in doubts_of(build_dome(design)) if one.kind == "ground of a row"] == [ROW["name"]]
        said = [one for one in doubts(read(design.text)) if "asked of blocks alone" in one]
        assert said == [f"{ROW['name']}: what it divides the ground's by is asked of blocks alone"]
        blocks = read_design(_written(tmp_path, text, LOADED + NAMED))
        assert grounds_not_asked(blocks) == ()
        assert not any("asked of blocks alone" in one for one in doubts(read(blocks.text)))
        rows = _row({k: v for k, v in ROW.items() if k != "source"} | {key: 100}).replace("factor_set", "criteria")
        assert grounds_not_asked(parse_design(SMALL + rows)) == (ROW["name"],)
    assert grounds_not_asked(parse_design(SMALL + '[criteria]\nset = "EN 1990 DA2"\n')) == ()  # its criteria ask it


@pytest.mark.parametrize(
    ("of_set", "design", "said"),
    [
        (HEAD + FACTOR.replace("1.7", "1" + 400 * "0"), SMALL + NAMED, r"bed_friction.value: expected a factor from 1"),
        (HEAD + FACTOR.replace("1.7", "0x1" + 4000 * "0"), SMALL + NAMED, r"bed_friction.value: expected a factor"),
        (HEAD + FACTOR.replace("1.7", "nan"), SMALL + NAMED, r"bed_friction.value: expected a factor"),
        (WHOLE, SMALL.replace('cover_after = "2 h"', "cover_after = nan") + NAMED, "building.cover_after"),
        (
            WHOLE + "# " + 600_000 * "x",
            SMALL + "# " + 600_000 * "y" + "\n" + NAMED,
            "together with the design under 1 MB",
        ),
        (WHOLE, SMALL + NAMED.replace("valley.toml", 300 * "a") + WHOLE, "criteria.set_file: expected the path"),
        (WHOLE.replace('name = "', 'name = 3 # "', 1), SMALL + NAMED, "factor_set.name"),
    ],
    ids=["400 digits", "hexadecimal", "nan", "nan of the design", "long", "no file's name", "a number for a name"],
)
def test_a_file_that_is_no_set_says_what_is_wrong(of_set: str, design: str, said: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=said):
        read_design(_written(tmp_path, of_set, design))


def test_factors_alone_need_no_row_for_each_load(tmp_path: Path) -> None:
    design = read_design(_written(tmp_path, HEAD + FACTOR, SMALL + NAMED))
    assert loads_no_row_has(design) == () and not any("no row has" in one for one in doubts(read(design.text)))
