"""Ten thousand random design files through the whole check: no traceback, no hang, no "meets" without its proof.

    python validation/random_designs.py --designs 10000 --seed 1 --workers 1

Files are drawn as text, good, bad and absurd ones alike, so that reader, gate, mechanics, proofs and verdict all take
part. Each is asked by the sweeps' short way; what does not fall short there, and every twentieth besides, by the
whole check, and the two must agree. Every "meets" is proven again from its certificate and its file, as `recheck` does.
Prints a line every 500 designs and one at the end; ends with 1 when anything of the above was found.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
import time
import traceback
from collections import Counter
from pathlib import Path

from joblib import Parallel, delayed

from shellcheck_earth import check, parse, recheck
from shellcheck_earth.basics.errors import ShellcheckError
from shellcheck_earth.loads.model import needs_more_than_crew
from shellcheck_earth.safety.result import Result
from shellcheck_earth.safety.worst import outcome

__all__ = ["draw", "judge"]

SLOWEST = 30.0
"""Seconds that one design may take."""


def _quantity(rng: random.Random, low: float, high: float, unit: str) -> str:
    """A value of the range, most of them in its middle; one in forty a tenth beyond it."""
    span = high - low
    value = rng.uniform(low - span / 10, high + span / 10) if rng.random() < 0.025 else rng.triangular(low, high)
    return f"{max(value, 0.0):.4g} {unit}".strip()


def _maybe(rng: random.Random, line: str, share: float = 0.8) -> list[str]:
    return [line] if rng.random() < share else []


def _tested(key: str, text: str, tested: bool) -> str:
    value = f'"{text}"' if text[-1:].isalpha() or (text.endswith(("3", "%")) and " " in text) else text
    return f'{key} = {{ value = {value}, source = "measured" }}' if tested else f"{key} = {value}"


def _load(rng: random.Random, key: str, text: str) -> list[str]:
    kind = rng.random()
    if kind < 0.9:
        return [f'{key} = {{ value = "none", reason = "none at this place" }}']
    return [f'{key} = "{text}"'] if kind < 0.97 else []


def draw(seed: int) -> str:
    """One design file; the same for the same seed."""
    rng = random.Random(seed)
    tested, stabilised = rng.random() < 0.7, rng.random() < 0.7
    width = rng.triangular(0.25, 0.6)
    height = rng.randint(100, 180) / 1000
    dry = rng.triangular(0.5, 5.0) if stabilised else rng.triangular(0.2, 2.0)
    placed = dry * rng.uniform(0.1, 0.6)
    wet = rng.uniform(0.0, 1.02) * (0.7 * dry if stabilised else placed)
    friction = rng.triangular(0.3, 0.9)
    lines = ["[design]", f'name = "Random store {seed}"', "[dome]"]
    lines += [f'inside_diameter = "{rng.triangular(1.2, 5.0, 2.2):.3f} m"']
    lines += _maybe(rng, f'profile = "{rng.choice(("pointed", "pointed", "round"))}"')
    lines += _maybe(rng, f'fixed_compass_pivot = "{rng.choice(("outer face", "inner face", "0.4 m", "1.5 m"))}"')
    lines += _maybe(rng, f'crown_opening = "{_quantity(rng, 0.1, 0.8, "m")}"')
    lines += _maybe(rng, f'springing_above_floor = "{rng.randint(0, 4) * height:.4f} m"', 0.3)
    lines += ["[wall]", f'filled_width = "{width:.3f} m"', f'course_height = "{height:.4f} m"']
    lines += [_tested("edge_rounding", _quantity(rng, 0.01, 0.05, "m"), tested)]
    lines += _maybe(rng, f"buried_courses = {rng.randint(0, 4)}")
    lines += _maybe(rng, f'fabric = "{rng.choice(("woven", "woven", "open mesh"))}"', 0.4)
    lines += ["[fill]", _tested("dry_density", _quantity(rng, 1400, 2100, "kg/m3"), tested)]
    lines += [_tested("placing_moisture", _quantity(rng, 3, 14, "%"), tested)]
    lines += _maybe(rng, _tested("service_moisture", _quantity(rng, 1, 5, "%"), tested), 0.7)
    lines += [f'stabiliser = "{rng.choice(("cement", "lime"))}"'] if stabilised else []
    lines += [_tested("strength_dry", f"{dry:.3f} MPa", tested)]
    lines += _maybe(rng, _tested("strength_as_placed", f"{placed:.4f} MPa", tested))
    lines += _maybe(rng, _tested("strength_wet", f"{wet:.4f} MPa", tested))
    lines += ["[beds]", _tested("friction", f"{friction:.3f}", tested)]
    lines += _maybe(rng, _tested("friction_wet", f"{friction * rng.uniform(0.5, 1.005):.3f}", tested))
    lines += _maybe(rng, _tested("friction_no_wire", f"{friction * rng.uniform(0.5, 1.0):.3f}", tested))
    lines += _maybe(rng, f"wire_strands = {rng.randint(0, 4)}")
    lines += _maybe(rng, _tested("wire_bond", _quantity(rng, 0.0, 6.0, "kN/m"), tested), 0.4 if tested else 0.02)
    lines += ["[plaster]", f'outside = "{rng.choice(("0", "20", "40"))} mm"', 'inside = "20 mm"']
    lines += ["[building]", f'worker = "{_quantity(rng, 0.5, 1.5, "kN")}"']
    lines += _maybe(rng, f'scaffold_above = "{rng.choice((0.0, rng.uniform(0.1, 2.0))):.3f} m"', 0.7)
    lines += _maybe(rng, f'cover_after = "{_quantity(rng, 0.2, 12, "h")}"')
    lines += _maybe(rng, f"courses_per_day = {rng.randint(1, 8)}", 0.5)
    lines += ["[site]", f'ground = "{rng.choice(("rock", "sedimentary", "gravel", "sand", "clay"))}"']
    lines += _load(rng, "wind_pressure", "0.6 kPa") + _load(rng, "earthquake", "10 %")
    lines += _load(rng, "snow", _quantity(rng, 0.2, 2.0, "kPa"))
    lines += ["[site.rain]", f'intensity = "{_quantity(rng, 2, 40, "mm/h")}"'] if rng.random() < 0.8 else []
    lines += ["[criteria]", f'set = "{rng.choice(("common practice", "EN 1990"))}"']
    lines += _handed_in(rng, width) if rng.random() < 0.3 else []
    lines += _earth(rng) if rng.random() < 0.15 else []
    if rng.random() < 0.1:
        lines += ["[footing]", f'width = "{rng.uniform(0.3, 1.2):.3f} m"', f'depth = "{rng.uniform(0.05, 0.8):.3f} m"']
    return "\n".join(lines) + "\n"


def _handed_in(rng: random.Random, width: float) -> list[str]:
    """Something all around a course: most of it light, some of it more than the wall can take."""

    def span(low: float, high: float, unit: str) -> str:
        ends = sorted(rng.triangular(low, high, max(low, 0.0)) for _ in range(2))
        if rng.random() < 0.4:
            return f'"{ends[1]:.3f} {unit}"'
        return f'{{ low = "{ends[0]:.3f} {unit}", high = "{ends[1]:.3f} {unit}", source = "measured" }}'

    return [
        "[[ring_load]]",
        'name = "cap"',
        f'height = "{rng.triangular(0.1, 2.5, 1.2):.3f} m"',
        f"weight = {span(-1.0, 12.0, 'kN')}",
        f"thrust = {span(-2.0, 4.0, 'kN')}",
        f"from_inner_face = {span(0.0, width, 'm')}",
    ]


def _earth(rng: random.Random) -> list[str]:
    """Earth against the wall, some of it higher than the wall, most of it drained."""
    drained = "false" if rng.random() < 0.1 else '{ value = true, reason = "gravel and a pipe" }'
    return [
        "[backfill]",
        f'height = "{rng.triangular(0.0, 3.5, 0.6):.3f} m"',
        *_maybe(rng, _tested("unit_weight", f"{rng.uniform(13, 23):.2f} kN/m3", rng.random() < 0.6), 0.7),
        *_maybe(rng, _tested("friction_angle", f"{rng.uniform(15, 45):.1f} deg", rng.random() < 0.6), 0.7),
        *_maybe(rng, f"compacted = {rng.choice(('true', 'false'))}", 0.6),
        *_maybe(rng, f'surcharge = "{rng.choice((0.0, rng.uniform(0.0, 15.0))):.2f} kPa"', 0.7),
        f"drained = {drained}",
    ]


def _again(result: Result, text: str) -> str:
    """What the checker, which reads the design file by itself, makes of a pass."""
    with tempfile.TemporaryDirectory() as folder:
        certificate, design = Path(folder) / "certificate.json", Path(folder) / "design.toml"
        certificate.write_text(result.certificate or "", encoding="utf-8")
        design.write_text(text, encoding="utf-8")
        proven = bool(result.certificate) and recheck(certificate, design).code == 0
        return "meets" if proven else "FAULT: a pass without proof"


def _verdict(text: str, *, whole: bool) -> str:
    """The answer of the sweeps' short way and, unless that falls short already, of the whole check."""
    design = parse(text)
    short = outcome(design, trials=False)
    if short.verdict == "falls short" and not whole:
        return "falls short"
    result = check(design, blocks=False, explore=False, proofs=False)
    left = {doubt.kind for doubt in result.doubts}
    if (short.verdict == "falls short") != (result.verdict == "falls short"):
        return f"FAULT: {short.verdict} by the short way, {result.verdict} by the whole"
    if "proofs not asked" in left <= {"proofs not asked", "blocks not asked"}:  # nothing but what proves it lacks
        result = check(design, blocks=not needs_more_than_crew(design), explore=False)
    return _again(result, text) if result.verdict == "meets" else result.verdict


def judge(seed: int) -> tuple[str, float, str]:
    """(verdict or what is wrong, seconds of processor, what to read where it is wrong)."""
    text, start, detail = draw(seed), time.process_time(), ""
    try:
        said = _verdict(text, whole=seed % 20 == 0)
    except ShellcheckError as error:
        said = f"refused: {type(error).__name__}"
    except Exception:  # what this script is for
        said, detail = "FAULT: traceback", traceback.format_exc()
    seconds = time.process_time() - start
    if seconds > SLOWEST:
        said = f"FAULT: {said}, slow"
    return said, seconds, detail or (text if said.startswith("FAULT") else "")


def main() -> int:
    """Draw, judge, print; 1 when anything was found."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--designs", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=1)
    given = parser.parse_args()
    seen: Counter[str] = Counter()
    slowest, faults = 0.0, 0
    seeds = range(given.seed, given.seed + given.designs)
    jobs = (delayed(judge)(seed) for seed in seeds)
    found = Parallel(n_jobs=given.workers, return_as="generator")(jobs)
    for seed, (said, seconds, detail) in zip(seeds, found, strict=True):
        seen[said] += 1
        slowest = max(slowest, seconds)
        if said.startswith("FAULT"):
            faults += 1
            print(f"seed {seed}: {said}\n{detail}", flush=True)
        if (seed - given.seed + 1) % 500 == 0:
            print(f"{seed - given.seed + 1}: {dict(seen)}, slowest {slowest:.1f} s", flush=True)
    print(f"{given.designs} designs from seed {given.seed}: {dict(seen.most_common())}; slowest {slowest:.1f} s")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
