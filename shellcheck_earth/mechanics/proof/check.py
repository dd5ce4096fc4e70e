"""Check a certificate against the design file it is about, in whole numbers, with none of the code that found it.

The checker: this module and `statics`, `rebuild`, `combinations`, `moisture`, `doubts`, `quantities` and `reading`
beside it, standard library only.
They rebuild from the design file what has to be proven, check every proof, and end in a verdict; nothing of the solver
is imported. STATEMENT.md says what is proven, with the numbers of its equations.
"""

from __future__ import annotations

import gc
import hashlib
import json
import os
import stat
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from shellcheck_earth.mechanics.proof.block_cases import block_faults
from shellcheck_earth.mechanics.proof.combinations import set_file
from shellcheck_earth.mechanics.proof.doubts import doubts, trials
from shellcheck_earth.mechanics.proof.reading import Design, RefusedError, read
from shellcheck_earth.mechanics.proof.rebuild import Case, Rebuilt, rebuild, rebuild_trial
from shellcheck_earth.mechanics.proof.statics import LINE_KEYS, MOST_DIGITS, MULTIPLIERS, Known, line_fault, none_fault

__all__ = [
    "EXIT",
    "FORMAT",
    "Report",
    "certificate_text",
    "changed_cases",
    "digest",
    "recheck",
    "recheck_against",
    "recheck_texts",
]

FORMAT = 2
EXIT = {"meets": 0, "falls short": 1, "cannot say": 2}
KEYS = ("format", "program", "design_sha256", "design", "required", "cases", "trials", "blocks", "verdict", "digest")
MOST_BYTES = 256_000_000
_written = json.JSONEncoder(sort_keys=True, separators=(",", ":"), check_circular=False).encode
ALIKE = bytes.maketrans(b"123456789", b"0" * 9)


@dataclass(frozen=True)
class Report:
    """One line per finding, the verdict and the exit code that goes with it."""

    lines: tuple[str, ...]
    verdict: str

    @property
    def code(self) -> int:
        return EXIT[self.verdict]


def certificate_text(data: Mapping[str, Any]) -> str:
    """The certificate as text, sealed with its digest; the same data always give the same bytes."""
    rest = {key: data[key] for key in KEYS if key != "digest"}
    small = (",", ":")  # proofs of blocks are long
    body = ",\n ".join(
        f"{json.dumps(key)}: {json.dumps(value, sort_keys=True, separators=small if key == 'blocks' else None)}"
        for key, value in rest.items()
    )
    return f'{{\n {body},\n "digest": "{digest(rest)}"\n}}\n'


def digest(data: Mapping[str, Any]) -> str:
    """SHA-256 of everything in the certificate but the digest itself, as JSON with sorted keys and no spaces."""
    seal = hashlib.sha256(b"{")
    for index, key in enumerate(sorted(data.keys() - {"digest"})):
        seal.update(f"{',' if index else ''}{_written(key)}:".encode())
        value = data[key]
        if isinstance(value, list) and value:  # proof by proof: the text of all of them at once is a lot to keep
            for number, one in enumerate(value):
                seal.update(f"{',' if number else '['}{_written(one)}".encode())
            seal.update(b"]")
        else:
            seal.update(_written(value).encode())
    seal.update(b"}")
    return seal.hexdigest()


def recheck(certificate: Path | str, design: Path | str) -> Report:
    """Both files, read and checked; every refusal is a report that ends in "cannot say"."""
    try:
        return recheck_texts(_bytes(Path(certificate), MOST_BYTES), _with_set(Path(design)))
    except RefusedError as refused:
        return _refused(str(refused))


def recheck_against(certificate: Path | str, design: bytes) -> Report:
    """The certificate's file against a design file's bytes; refusals as `recheck`."""
    try:
        return recheck_texts(_bytes(Path(certificate), MOST_BYTES), design)
    except RefusedError as refused:
        return _refused(str(refused))


def _with_set(path: Path) -> bytes:
    """A design file's bytes, behind them those of the set of factors that it names, unless it holds one already."""
    own = _bytes(path, 1_000_000)
    named = set_file(own)
    return own + b"\n" + _bytes(path.parent / named, 1_000_000).removeprefix(b"\xef\xbb\xbf") if named else own


def _bytes(path: Path, most: int) -> bytes:
    """A regular file's bytes, `most` of them: a pipe would be waited for, a device read for ever."""
    try:
        file = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        try:
            regular = stat.S_ISREG(os.fstat(file).st_mode)
            pieces, room = [], most + 1 if regular else 0
            while room and (piece := os.read(file, min(room, 1 << 26))):
                pieces.append(piece)
                room -= len(piece)
        finally:
            os.close(file)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "a fault"
        raise RefusedError(f"{path.name}: expected a readable file, found: {why}") from None
    if not regular:
        raise RefusedError(f"{path.name}: expected a file, found a folder, a pipe or a device")
    if not room:
        raise RefusedError(f"{path.name}: expected a file under {most // 1_000_000} MB")
    return b"".join(pieces)


def recheck_texts(certificate: bytes, design: bytes) -> Report:
    """The certificate's bytes against the design file's bytes."""
    try:
        with _no_cycles():
            return _recheck(_parsed(certificate), design)
    except RefusedError as refused:
        return _refused(str(refused))
    except (
        ValueError,
        TypeError,
        KeyError,
        OverflowError,
        RecursionError,
        ZeroDivisionError,
        ArithmeticError,
    ) as error:
        return _refused(f"it cannot be read: {type(error).__name__}")


@contextmanager
def _no_cycles() -> Iterator[None]:
    """Nothing here refers back to itself: looking for cycles among millions of numbers is time for nothing."""
    on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if on:
            gc.enable()


def _refused(why: str) -> Report:
    return Report((f"Refused: {_clean(why)}",), "cannot say")


def _clean(text: str) -> str:
    return "".join(one if one.isprintable() else "?" for one in text)[:300]


def _parsed(raw: bytes) -> Any:
    def whole(text: str) -> int:
        if len(text) > MOST_DIGITS + 1:
            raise RefusedError(f"a number of {len(text)} digits, expected at most {MOST_DIGITS}")
        return int(text)

    def never(_: str) -> None:
        raise RefusedError("expected whole numbers only")

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        if len({key for key, _ in pairs}) != len(pairs):
            raise RefusedError("a key is there twice")
        return dict(pairs)

    try:
        text = raw.decode("utf-8")
        # Where no run of digits is as long nothing has to count those of each number.
        count = whole if b"0" * (MOST_DIGITS + 1) in raw.translate(ALIKE) else None
        return json.loads(text, parse_int=count, parse_float=never, parse_constant=never, object_pairs_hook=once)
    except (ValueError, RecursionError):
        raise RefusedError("expected a certificate (JSON), found something else") from None


def _recheck(data: Any, design_bytes: bytes) -> Report:
    if not isinstance(data, dict) or set(data) != set(KEYS) or data["format"] != FORMAT:
        raise RefusedError(f"expected a certificate of format {FORMAT} with exactly {', '.join(KEYS)}")
    if data["digest"] != digest(data):
        raise RefusedError("digest: does not belong to these data; the file was changed or damaged")
    seen = hashlib.sha256(design_bytes).hexdigest()
    if data["design_sha256"] != seen or not isinstance(data["design"], str):
        raise RefusedError("design_sha256: this certificate is about another design file")
    if data["design"].encode() != design_bytes:
        raise RefusedError("design: the text inside is not the design file's")
    if data["verdict"] not in EXIT or not isinstance(data["program"], str):
        raise RefusedError("verdict: expected meets, falls short or cannot say")
    design = read(design_bytes.decode("utf-8"))
    if data["required"] != {check: str(value) for check, value in design.required.items()}:
        raise RefusedError("required: not the factors this design is asked for")
    rebuilt, known = rebuild(design), Known()
    found = _examined(rebuilt.cases, data["cases"], "", known)
    lines = [f"design    {_clean(design.name)}", *found.lines]
    missing = [*found.missing, *_trials(rebuilt, data["trials"], data["verdict"] == "meets", known)]
    against = [*doubts(design), *block_faults(design, data["blocks"], data["verdict"] == "meets")]
    return _verdict(data["verdict"], lines, missing, found.short, against)


def _trials(rebuilt: Rebuilt, entries: Any, wanted: bool, known: Known) -> list[str]:
    """What is missing of the proofs with each value that was not measured at its bad end; only a "meets" needs them."""
    tried = list(trials(rebuilt.design)) if wanted else []
    if not isinstance(entries, list) or len(entries) != len(tried):
        raise RefusedError(f"trials: expected proofs of {len(tried)} trials with an untested value at its bad end")
    missing = []
    for (name, trial), entry in zip(tried, entries, strict=True):
        if not isinstance(entry, dict) or set(entry) != {"trial", "cases"} or entry["trial"] != name:
            raise RefusedError(f"trials: expected the trial {name}")
        found = _examined(changed_cases(rebuilt, trial), entry["cases"], f"{name}: ", known)
        missing += found.missing + found.short
    return missing


def changed_cases(rebuilt: Rebuilt, trial: Design) -> list[Case]:
    """The counted cases of a trial that are not those of the design itself, which are proven already."""
    own = {case.id: case for case in rebuilt.cases}
    return [case for case in rebuild_trial(rebuilt, trial) if case.counts and own.get(case.id) != case]


def _verdict(claimed: str, lines: list[str], missing: list[str], short: list[str], against: list[str]) -> Report:
    """Equation (18): what the proofs allow, held against what the certificate claims."""
    if claimed == "meets":
        if short or missing or against:
            raise RefusedError(f"verdict: it claims meets, but {(short + missing + against)[0]}")
        return Report((*lines, "verdict   meets: every counted case and margin is proven"), claimed)
    if claimed == "falls short":
        if short:
            return Report((*lines, f"verdict   falls short: proven, {short[0]}"), claimed)
        if not missing and not against:
            raise RefusedError("verdict: it claims falls short, but every margin is proven")
        return Report((*lines, "verdict   falls short: not proven, and believed without proof"), claimed)
    if short:
        raise RefusedError(f"verdict: it claims cannot say, but it is proven that {short[0]}")
    reasons = (*against, *missing[:1]) or ("check could not say",)
    return Report((*lines, *(f"not shown {one}" for one in reasons), "verdict   cannot say"), claimed)


@dataclass(frozen=True)
class _Found:
    lines: list[str]
    missing: list[str]
    short: list[str]


def _examined(cases: Sequence[Case], entries: Any, where: str, known: Known) -> _Found:
    """Every case the design demands, once, in order, with the proofs the certificate has for it."""
    names = (
        [entry.get("case") if isinstance(entry, dict) else None for entry in entries]
        if isinstance(entries, list)
        else []
    )
    for index, case in enumerate(cases):
        if index >= len(names) or names[index] != case.id:
            there = ascii(names[index])[:60] if index < len(names) else "nothing"
            raise RefusedError(f"{where}cases: expected {case.id} as case {index + 1}, found {there}")
    if len(names) != len(cases):
        raise RefusedError(f"{where}cases: expected {len(cases)} cases, found {len(names)}")
    out = _Found([], [], [])
    for case, entry in zip(cases, entries, strict=True):
        met, short = _case(case, entry, where, known)
        if case.counts:
            _count(out, case, met, short, where)
        rest = [question.name for question in case.questions if question.name not in met | short]
        said = [f"{len(met)} met", *(["short: " + ", ".join(sorted(short))] if short else [])]
        out.lines.append(
            f"{where}{case.id:28} {'; '.join(said)}" + (f"; not proven: {', '.join(rest)}" if rest else "")
        )
    return out


def _count(out: _Found, case: Case, met: set[str], short: set[str], where: str) -> None:
    out.short.extend(f"{where}{name} of {case.id} falls short" for name in sorted(short))
    rest = [question.name for question in case.questions if question.name not in met | short]
    out.missing.extend(f"{where}{name} of {case.id} is not proven" for name in rest)


def _case(case: Case, entry: Mapping[str, Any], where: str, known: Known) -> tuple[set[str], set[str]]:
    """Names of the questions proven to be met, and proven not to be."""
    if set(entry) != {"case", "lines", "none"}:
        raise RefusedError(f"{where}{case.id}: expected lines and none")
    met, short = (
        [name for proof in entry[kind] for name in _shown(case, proof, kind, where, known)]
        for kind in ("lines", "none")
    )
    if len({*met, *short}) != len(met) + len(short):
        raise RefusedError(f"{where}{case.id}: a check is proven twice")
    return set(met), set(short)


def _shown(case: Case, proof: Any, kind: str, where: str, known: Known) -> list[str]:
    """The questions that a proof of the case shows; RefusedError when it does not hold for each of them."""
    asked = {question.name: question for question in case.questions}
    shows = proof.get("shows") if isinstance(proof, dict) else None
    if not isinstance(shows, list) or not shows or not all(isinstance(one, str) and one in asked for one in shows):
        raise RefusedError(f"{where}{case.id}: expected proofs of its own checks")
    keys = set(proof) - {"shows"}
    if keys not in ([set(LINE_KEYS)] if kind == "lines" else [{"failed_bed"}, set(MULTIPLIERS)]):
        raise RefusedError(f"{where}{case.id}: expected the numbers of a proof and nothing else")
    questions = [asked[one] for one in shows]
    if kind == "lines":
        fault = line_fault(case.beds, questions, proof, known)
    else:
        fault = next(filter(None, (none_fault(case.beds, question, proof) for question in questions)), "")
    if fault:
        raise RefusedError(f"{where}{case.id}: the proof of {', '.join(shows)} does not hold: {fault}")
    return shows


if __name__ == "__main__":  # python -m shellcheck_earth.mechanics.proof.check CERTIFICATE DESIGN
    if len(sys.argv) != 3:
        sys.exit("expected a certificate and a design file")
    report = recheck(sys.argv[1], sys.argv[2])
    print("\n".join(report.lines))
    sys.exit(report.code)
