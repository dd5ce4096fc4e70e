import tomllib
from pathlib import Path

import pytest

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.views.cli.soil import soil_report, soil_starter


def _file(folder: Path, text: str) -> Path:
    path = folder / "readings.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_starter_gives_a_block_with_its_basis(tmp_path: Path) -> None:
    report = soil_report(_file(tmp_path, soil_starter()))
    block = tomllib.loads(report.toml)
    assert set(block) == {"wall", "fill", "beds"}
    assert all(entry["source"] == "measured" for section in block.values() for entry in section.values())
    # by hand: w = 85/855 = 9.94 %; 31.0/0.0160/1.0994 = 1762 kg/m3; of 3.4, 3.9, 3.6 kN the fractile is
    # exp(ln mean 1.28737 - 3.37 x spread 0.06897) = 2.872 kN, less 0.1, on 0.0225 m2 x 0.775 (2:1)
    assert block["fill"]["placing_moisture"]["value"] == "9.942 %"
    assert block["fill"]["dry_density"]["value"] == "1762 kg/m3"
    crushed = float(block["fill"]["strength_as_placed"]["value"].removesuffix(" kPa"))
    assert crushed == pytest.approx(2.772 / 0.0225 * 0.775, rel=2e-3)  # the reading error is taken at the mean load
    # under tan 30 degrees: interlock and scatter taken out
    assert 0.3 < block["beds"]["friction"]["value"] < 0.577
    # 4.1, 4.4, 4.2 kN: exp(1.44225 - 3.37 x 0.03579) = 3.749, less 0.1
    wire = float(block["beds"]["wire_breaking_load"]["value"].removesuffix(" kN"))
    assert wire == pytest.approx(3.649, abs=2e-3)
    assert "limit:" in report.text
    assert "engineer" in report.text


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "at least one section"),
        ("[sampel]\nmass = '1 kg'\n", "did you mean sample"),
        ("[drying]\nwet = '1 kg'\ndri = '0.9 kg'\n", "did you mean dry"),
        ("[drying]\nwet = '1 kg'\ndry = '1.1 kg'\n", "swapped"),
        ("[drying]\nwet = '1 kg'\ndry = '0.9 cubits'\n", r"drying\.dry"),
        ("[drying]\nwet = '1 kg'\ndry = '-0.9 kg'\n", "over 0"),
        (
            "[tube]\nflat_width = '450 mm'\nfilled_width = '385 mm'\n",
            r"tube\.course_height: expected a value, found nothing",
        ),
        (
            "[drying]\nwet='1.4 kg'\ndry='1 kg'\n[sample]\nmass='2.45 kg'\nvolume='1 l'\n",
            "wetter than saturation",
        ),
        ("[sample]\nmass='2 kg'\nvolume='1 l'\n", "needs the moisture"),
        ("[soak]\ndepth='20 mm'\ntime='2 h'\n", r"\[sample\] and \[drying\]"),
        ("[[tilt]]\nbed='dry'\nangle='61 deg'\nmass='300 kg'\nwidth='0.3 m'\nlength='0.5 m'\n", "60 degrees"),
        (
            "[[tilt]]\nbed='moist'\nangle='30 deg'\nmass='300 kg'\nwidth='0.3 m'\nlength='0.5 m'\n",
            '"dry" or "wet"',
        ),
        (
            "[[tilt]]\nbed='dry'\nangle='30 deg'\nmass='30 kg'\nwidth='0.3 m'\nlength='0.5 m'\n",
            "overstates friction",
        ),
        ("[wire]\nloads = []\n", "a list of loads"),
        ("[[tilt]]\nbed='dry'\nmass='300 kg'\nwidth='0.3 m'\nlength='0.5 m'\n", "one angle, or a list of angles"),
        (
            "[[tilt]]\nbed='dry'\nangle='30 deg'\nangles=['30 deg']\nmass='300 kg'\nwidth='0.3 m'\nlength='0.5 m'\n",
            "angle and angles",
        ),
        (
            "[[tilt]]\nbed='dry'\nangles=['30 deg', 'steep']\nmass='300 kg'\nwidth='0.3 m'\nlength='0.5 m'\n",
            r"tilt\[0\]\.angles\[1\]",
        ),
        ("[wire]\nloads = ['4 kN', 'much']\n", r"wire\.loads\[1\]"),
        ("wire = 3\n", "a section"),
        ("[wire\n", "TOML"),
    ],
)
def test_bad_readings_are_refused_with_the_reason(tmp_path: Path, text: str, reason: str) -> None:
    with pytest.raises(InputError, match=reason):
        soil_report(_file(tmp_path, text))


def test_too_few_tests_are_said_to_be_assumed(tmp_path: Path) -> None:
    tilt = "[[tilt]]\nbed='dry'\nangle='{}'\nmass='{}'\nwidth='0.35 m'\nlength='0.8 m'\n"
    text = tilt.format("33 deg", "120 kg") + tilt.format("29 deg", "300 kg") + "[wire]\nloads=['4 kN']\n"
    report = soil_report(_file(tmp_path, text))
    block = tomllib.loads(report.toml)
    assert {entry["source"] for entry in block["beds"].values()} == {"assumed"}
    assert block["beds"]["friction"]["value"] < 0.36
    assert report.text.count("too few tests to be a measurement") == 2
    assert "3 tilts at each of two loads" in report.text


def test_same_state_twice_is_refused(tmp_path: Path) -> None:
    one = "[[crush]]\nstate='dry'\nwidth='0.15 m'\nheight='0.3 m'\nloads=['6 kN']\n"
    with pytest.raises(InputError, match=r"one section for fill\.strength_dry"):
        soil_report(_file(tmp_path, one + one))


def test_every_fault_is_told_at_once(tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        soil_report(_file(tmp_path, "[drying]\nwet = 'x'\ndry = 'y'\n[wall]\n"))
    assert len(caught.value.problems) == 3


def test_missing_file(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such file"):
        soil_report(tmp_path / "none.toml")


def test_same_readings_same_text(tmp_path: Path) -> None:
    path = _file(tmp_path, soil_starter())
    assert soil_report(path) == soil_report(path)


FEET = """
[sample]
mass = "68.3 lb"
volume = "0.565 cubic feet"
[drying]
wet = "44.1 oz"
dry = "41.1 oz"
container = "10.9 oz"
[tube]
flat_width = "18 inches"
filled_width = "1' 2 1/2''"
course_height = "5 1/4 in"
[wire]
loads = ["940 lb", "990 lbs", "950 lbf"]
"""


def test_the_answer_is_in_the_units_of_the_readings(tmp_path: Path) -> None:
    report = soil_report(_file(tmp_path, FEET))
    block = tomllib.loads(report.toml)
    # by hand: w = 3.0/30.2 = 9.934 %; 68.3/0.565/1.09934 = 109.96 lb/ft3
    assert block["fill"]["dry_density"]["value"] == "110.0 lb/ft3"
    assert block["wall"]["filled_width"]["value"] == "14.50 in"
    assert block["beds"]["wire_breaking_load"]["value"].endswith(" lbf")
    said = [line for line in report.text.splitlines() if "to be used" in line or "best estimate" in line]
    assert said and not any(unit in line for line in said for unit in ("kg/m3", " kN", " mm", "kPa"))
    metric = soil_report(_file(tmp_path, FEET.replace("68.3 lb", "30.98 kg").replace("18 inches", "457.2 mm")))
    assert metric.text.splitlines()[2] == report.text.splitlines()[2]  # most readings are still imperial
    assert "kg/m3" in soil_report(_file(tmp_path, soil_starter())).toml


@pytest.mark.parametrize(
    ("key", "value", "asked"),
    [
        ("volume", "5 gallons", "which gallon"),
        ("volume", "5 gal", "US gal.*imp gal"),
        ("mass", "70 lbf", r"is the weight of \"31\.8 kg\" or \"70\.0 lb\""),
        ("mass", "300 N", "is the weight of"),
        ("mass", "0.03 tons", "which ton"),
        ("volume", "2 buckets", "a volume such as"),
    ],
)
def test_what_has_two_meanings_is_asked_back(tmp_path: Path, key: str, value: str, asked: str) -> None:
    other = {"mass": "31 kg", "volume": "16 l"} | {key: value}
    text = "[drying]\nwet='1.25 kg'\ndry='1.165 kg'\n[sample]\n" + "".join(f"{k}={v!r}\n" for k, v in other.items())
    with pytest.raises(InputError, match=asked) as caught:
        soil_report(_file(tmp_path, text))
    assert len(caught.value.problems) == 1
