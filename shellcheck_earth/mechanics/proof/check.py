"""Check a certificate of a dome's equilibrium in exact arithmetic, with none of the code that found it.

Nothing of this floor, and no numerical library, is imported: a fault in the solvers cannot hide
in the check. Every float of the file is taken as the exact rational it is; square roots become rational
bounds on the unfavourable side. Formulas: derived from statics (DEVELOPERS.md, "Equilibrium of a lune"); the
impossibility proof is Farkas' lemma with the ring and wire forces minimised exactly over what they may be.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import isqrt
from pathlib import Path
from typing import Any

__all__ = [
    "FORMAT",
    "LINE",
    "LUNE_KEYS",
    "NOT_ESTABLISHED",
    "NO_LINE",
    "Finding",
    "bundle_json",
    "certificate_json",
    "check_bundle_file",
    "check_certificate",
    "check_file",
    "digest",
]

FORMAT = 1
LINE, NO_LINE, NOT_ESTABLISHED = "line exists", "no line exists", "not established"
LUNE_KEYS = (
    "number",
    "z_bottom",
    "z_top",
    "weight",
    "moment",
    "bed_inner",
    "bed_outer",
    "crush_inner",
    "crush_outer",
    "wet_from",
    "friction",
    "cohesion",
    "ring_strength",
    "ring_depth",
    "wire",
    "ring_low",
    "ring_high",
)
MAY_BE_INFINITE = {"crush_inner", "crush_outer", "friction", "cohesion", "ring_strength"}
NOT_NEGATIVE = MAY_BE_INFINITE | {"weight", "bed_inner", "ring_depth", "wire"}
MULTIPLIERS = ("inner_edge", "outer_edge", "slip_outward", "slip_inward")
BAND_KEYS = ("inner_radius_m", "outer_radius_m", "height_m", "unit_weight_kN_m3")
ROOT_BITS = 80  # square roots are bounded to 2^-80 m: far below any slack that matters
MAX_COURSES = 2000
WEIGHT_TOLERANCE = Fraction(1, 10**9)  # doubles summed over a course's few bands stay well within this
RATIONAL = re.compile(r"-?[0-9]{1,400}(/[0-9]{1,400})?")  # no exponents: "1e999999999" would hang the reader

Number = Fraction | None  # None = no limit
Row = dict[str, Number]


@dataclass(frozen=True)
class Finding:
    """What the certificate proves. `smallest_slack` [-]: least distance to any bed limit, as a share of
    the bed's width (contact, crushing) or of the sliding limit; for an impossibility, how far the sum of the
    multiplied limits is above zero, as a share of the sum of its terms. None when nothing is established."""

    kind: str
    reasons: tuple[str, ...] = ()
    smallest_slack: float | None = None


class _RefusedError(Exception):
    pass


def certificate_json(data: dict[str, Any]) -> str:
    """The certificate as text; the same data always give the same bytes."""
    return json.dumps(data, indent=1, sort_keys=True, allow_nan=False) + "\n"


def digest(data: dict[str, Any]) -> str:
    """SHA-256 of everything in the certificate but the digest itself."""
    rest = {key: value for key, value in data.items() if key != "digest"}
    # Compact, which the standard library writes many times faster than indented text.
    return hashlib.sha256(json.dumps(rest, sort_keys=True, allow_nan=False, separators=(",", ":")).encode()).hexdigest()


def check_file(path: Path | str) -> Finding:
    """Check the certificate in a file; one that cannot be read is `not established` with the reason."""
    where = str(path)
    try:
        data = json.loads(Path(path).read_text(encoding="utf-8"))
    except OSError as error:
        found = error.strerror or "an error"
        return Finding(NOT_ESTABLISHED, (f"{where}: expected a readable certificate file, found: {found}",))
    except (ValueError, RecursionError):
        return Finding(NOT_ESTABLISHED, (f"{where}: expected a certificate (JSON), found something else",))
    return check_certificate(data)


def bundle_json(design: str, certificates: Sequence[Any]) -> str:
    """Many certificates of one design as one file's text."""
    return certificate_json({"format": FORMAT, "design": design, "certificates": list(certificates)})


def check_bundle_file(path: Path | str) -> tuple[tuple[str, Finding], ...]:
    """(case, finding) for every certificate of a file, which may hold one or a bundle of them."""
    try:
        data = json.loads(Path(path).read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return ((str(path), check_file(path)),)
    found = data.get("certificates") if isinstance(data, dict) else None
    entries = found if isinstance(found, list) else [data]
    return tuple(
        (str(entry.get("case", "?")) if isinstance(entry, dict) else "?", check_certificate(entry)) for entry in entries
    )


def check_certificate(data: Any) -> Finding:
    """What the certificate proves; a faulty one is `not established` with the reasons, never an exception."""
    try:
        return _check(data)
    except _RefusedError as refused:
        return Finding(NOT_ESTABLISHED, (str(refused),))
    except (ValueError, TypeError, RecursionError, OverflowError, ZeroDivisionError) as error:
        return Finding(NOT_ESTABLISHED, (f"the certificate cannot be read: {error}",))


def _check(data: Any) -> Finding:
    if not isinstance(data, dict):
        raise _RefusedError("expected a certificate, found something else")
    if type(data.get("format")) is not int or data["format"] != FORMAT:
        raise _RefusedError(f"format: expected {FORMAT}, found {data.get('format')!r:.40}")
    for key in ("design", "case"):
        if not isinstance(data.get(key), str):
            raise _RefusedError(f"{key}: expected a text")
    if data.get("digest") != digest(data):
        raise _RefusedError("digest: does not belong to these data; the file was changed or damaged")
    rows = _rows(data.get("lune"))
    if "bands" in data:
        _check_bands(data["bands"], rows)
    if data.get("kind") == LINE:
        return _check_line(rows, data.get("forces"))
    if data.get("kind") == NO_LINE:
        if "failed_bed" in data:
            return _check_failed_bed(rows, data["failed_bed"])
        return _check_no_line(rows, data.get("multipliers"))
    raise _RefusedError(f"kind: expected '{LINE}' or '{NO_LINE}', found {data.get('kind')!r:.40}")


def _exact(value: Any, where: str) -> Fraction:
    if isinstance(value, str) and RATIONAL.fullmatch(value):
        if value.partition("/")[2].strip("0") == "" and "/" in value:
            raise _RefusedError(f"{where}: expected a number, found a division by zero")
        return Fraction(value)
    if isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e15:
        return Fraction(value)
    raise _RefusedError(f"{where}: expected a number, found {value!r:.40}")


def _columns(table: Any, keys: Sequence[str], n: int | None, where: str) -> list[list[Any]]:
    if not isinstance(table, dict) or set(table) != set(keys):
        raise _RefusedError(f"{where}: expected exactly the lists {', '.join(keys)}")
    size = len(table[keys[0]]) if n is None and isinstance(table[keys[0]], list) else n
    for key in keys:
        if not isinstance(table[key], list) or len(table[key]) != size:
            raise _RefusedError(f"{where}.{key}: expected a list of {size} numbers")
    if not size or size > MAX_COURSES:
        raise _RefusedError(f"{where}: expected 1 to {MAX_COURSES} courses, found {size}")
    return [table[key] for key in keys]


def _rows(lune: Any) -> list[Row]:
    columns = _columns(lune, LUNE_KEYS, None, "lune")
    rows: list[Row] = [{} for _ in columns[0]]
    for key, column in zip(LUNE_KEYS, columns, strict=True):
        for i, value in enumerate(column):
            where = f"lune.{key}[{i}]"
            number = None if value == "inf" and key in MAY_BE_INFINITE else _exact(value, where)
            if number is not None and number < 0 and key in NOT_NEGATIVE:
                raise _RefusedError(f"{where}: expected a number not below zero")
            rows[i][key] = number
    if rows[-1]["ring_strength"] != 0 or rows[-1]["wire"] != 0:
        raise _RefusedError("prestress: the lowest course has a ring force or a wire: it could hold anything")
    return rows


def _get(row: Row, key: str) -> Fraction:
    value = row[key]
    if value is None:
        raise _RefusedError(f"lune.{key}: expected a finite number")
    return value


def _check_bands(bands: Any, rows: list[Row]) -> None:
    """weight = sum gamma h (ro^2 - ri^2)/2, moment = sum gamma h (ro^3 - ri^3)/3 of each, per radian."""
    if not isinstance(bands, list) or len(bands) != len(rows):
        raise _RefusedError(f"bands: expected a list for each of {len(rows)} courses")
    for i, course in enumerate(bands):
        weight = moment = Fraction(0)
        if not isinstance(course, list):
            raise _RefusedError(f"bands[{i}]: expected a list of bands")
        for band in course:
            if not isinstance(band, dict) or set(band) != set(BAND_KEYS):
                raise _RefusedError(f"bands[{i}]: expected bands with {', '.join(BAND_KEYS)}")
            ri, ro, h, gamma = (_exact(band[key], f"bands[{i}].{key}") for key in BAND_KEYS)
            if not (0 <= ri <= ro and h >= 0 and gamma >= 0):
                raise _RefusedError(f"bands[{i}]: expected radii in order and nothing below zero")
            weight += gamma * h * (ro**2 - ri**2) / 2
            moment += gamma * h * (ro**3 - ri**3) / 3
        for key, value in (("weight", weight), ("moment", moment)):
            if abs(value - _get(rows[i], key)) > WEIGHT_TOLERANCE * abs(value):
                raise _RefusedError(f"lune.{key}[{i}]: does not follow from the bands of its course")


def _root(square: Fraction, up: bool) -> Fraction:
    """A rational bound on a square root: above it when `up`, else not above it."""
    if square <= 0:
        return Fraction(0)
    whole = isqrt((square.numerator << (2 * ROOT_BITS)) // square.denominator)
    return Fraction(whole + up, 1 << ROOT_BITS)


def _outward(p: Fraction, force: Fraction, f: Number, up: bool) -> Fraction:
    """Moment of `force` as a stress block f from radius p outward; c^2 = p^2 + 2 F/f, f (c^3 - p^3)/3."""
    if f is None or force == 0:
        return force * p
    return f * (_root(p * p + 2 * force / f, up) ** 3 - p**3) / 3


def _inward(q: Fraction, force: Fraction, f: Number, up: bool) -> Fraction:
    """Moment of `force` as a stress block f from radius q inward; c^2 = q^2 - 2 F/f. `up` rounds c up."""
    if f is None or force == 0:
        return force * q
    return f * (q**3 - _root(q * q - 2 * force / f, up) ** 3) / 3


def _capacity(p: Fraction, q: Fraction, f: Number, enough: Fraction) -> Fraction:
    """Force f (q^2 - p^2)/2 of the part [p, q] of a bed; an unlimited part is given `enough`."""
    if q <= p:
        return Fraction(0)
    return enough if f is None else f * (q * q - p * p) / 2


def _moment_range(row: Row, V: Fraction, relaxed: bool) -> tuple[Fraction, Fraction] | None:
    """Least and greatest x V on the bed; None: no bed, or crushed. `relaxed` rounds wider."""
    a, b = _get(row, "bed_inner"), _get(row, "bed_outer")
    if b <= a:
        return None
    w = min(max(_get(row, "wet_from"), a), b)
    f_in, f_out = row["crush_inner"], row["crush_outer"]
    cap_in, cap_out = _capacity(a, w, f_in, V), _capacity(w, b, f_out, V)
    if cap_in + cap_out < V:
        return None
    up = not relaxed
    if cap_in >= V:
        low = _outward(a, V, f_in, up)
    else:
        low = _outward(a, cap_in, f_in, up) + _outward(w, V - cap_in, f_out, up)
    if cap_out >= V:
        high = _inward(b, V, f_out, up)
    else:
        high = _inward(b, cap_out, f_out, up) + _inward(w, V - cap_out, f_in, up)
    return low, high


def _sliding_limit(row: Row, V: Fraction) -> Number:
    mu, cohesion = row["friction"], row["cohesion"]
    return None if mu is None or cohesion is None else mu * V + cohesion


def _ring(row: Row) -> tuple[Number, Fraction]:
    """(C_max, curve) with curve = 1/(2 f t); C_max None = no limit, 0 = no ring."""
    f, t = row["ring_strength"], _get(row, "ring_depth")
    height = _get(row, "ring_high") - _get(row, "ring_low")
    if f == 0 or height <= 0 or t == 0:
        return Fraction(0), Fraction(0)
    return (None, Fraction(0)) if f is None else (f * height * t, 1 / (2 * f * t))


def _check_line(rows: list[Row], forces: Any) -> Finding:
    C_all, K_all, T_all = _columns(forces, ("ring", "ring_moment", "wire"), len(rows), "forces")
    H = G = V = Fraction(0)
    slack = Fraction(1)
    reasons: list[str] = []
    for i, row in enumerate(rows):
        C, K, T = (_exact(v, f"forces[{i}]") for v in (C_all[i], K_all[i], T_all[i]))
        z, name = _get(row, "z_bottom"), f"bed under course {_get(row, 'number')}"
        C_max, curve = _ring(row)
        if C < 0 or (C_max is not None and C_max < C):
            reasons.append(f"{name}: ring compression outside its limits")
        low, high = _get(row, "ring_low") * C + curve * C * C, _get(row, "ring_high") * C - curve * C * C
        if not (K == 0 if C == 0 else low <= K <= high):
            reasons.append(f"{name}: ring compression acts outside its section")
        if not 0 <= T <= _get(row, "wire"):
            reasons.append(f"{name}: wire tension outside its limits")
        H, G, V = H + C - T, G + K - z * T + _get(row, "moment"), V + _get(row, "weight")
        limits = _moment_range(row, V, relaxed=False)
        if limits is None:
            reasons.append(f"{name}: crushed whatever the line does")
            continue
        moment = G - z * H
        least = min(moment - limits[0], limits[1] - moment)
        if least < 0:
            reasons.append(f"{name}: the line leaves the part of the bed that can carry it")
        width = V * (_get(row, "bed_outer") - _get(row, "bed_inner"))
        slack = min(slack, least / width if width else Fraction(0))
        limit = _sliding_limit(row, V)
        if limit is not None:
            if abs(H) > limit:
                reasons.append(f"{name}: slides")
            slack = min(slack, (limit - abs(H)) / limit if limit else Fraction(0))
    return Finding(NOT_ESTABLISHED, tuple(reasons)) if reasons else Finding(LINE, (), float(slack))


def _check_failed_bed(rows: list[Row], index: Any) -> Finding:
    if type(index) is not int or not 0 <= index < len(rows):
        raise _RefusedError(f"failed_bed: expected a bed's index below {len(rows)}, found {index!r:.40}")
    V = sum((_get(row, "weight") for row in rows[: index + 1]), Fraction(0))
    if _moment_range(rows[index], V, relaxed=True) is None:
        name = f"bed under course {_get(rows[index], 'number')}"
        return Finding(NO_LINE, (f"{name}: cannot carry its load whatever the line does",), None)
    raise _RefusedError(f"failed_bed: bed {index} can carry its load")


def _least_ring_work(row: Row, P: Fraction, Q: Fraction) -> Fraction:
    """min of P C + Q K over what the ring may carry, exactly (the curved set itself)."""
    C_max, curve = _ring(row)
    if C_max == 0:
        return Fraction(0)
    slope = P + Q * (_get(row, "ring_low") if Q >= 0 else _get(row, "ring_high"))
    if slope >= 0:
        return Fraction(0)
    if C_max is None:
        raise _RefusedError("multipliers: a ring without a strength limit undoes the proof")
    bend = abs(Q) * curve
    C = C_max if bend == 0 else min(C_max, -slope / (2 * bend))
    return slope * C + bend * C * C


def _check_no_line(rows: list[Row], multipliers: Any) -> Finding:
    """For nonnegative y: sum of y (violation of each bed limit) > 0 for every force means no line."""
    columns = _columns(multipliers, MULTIPLIERS, len(rows), "multipliers")
    total = size = V = Fraction(0)
    on_H: list[Fraction] = []
    on_G: list[Fraction] = []
    for i, row in enumerate(rows):
        y_in, y_out, y_plus, y_minus = (_exact(column[i], f"multipliers[{i}]") for column in columns)
        if min(y_in, y_out, y_plus, y_minus) < 0:
            raise _RefusedError(f"multipliers[{i}]: expected numbers not below zero")
        V += _get(row, "weight")
        limits = _moment_range(row, V, relaxed=True)
        if limits is None:
            return _check_failed_bed(rows, i)
        limit = _sliding_limit(row, V)
        if limit is None and (y_plus or y_minus):
            raise _RefusedError(f"multipliers[{i}]: sliding counted on a bed that cannot slide")
        terms = (y_in * limits[0], -y_out * limits[1], -(y_plus + y_minus) * (limit or 0))
        total += sum(terms)
        size += sum(abs(term) for term in terms)
        on_H.append(_get(row, "z_bottom") * (y_in - y_out) + y_plus - y_minus)
        on_G.append(y_out - y_in)
    P = Q = Fraction(0)
    for row, h, g in zip(reversed(rows), reversed(on_H), reversed(on_G), strict=True):
        P, Q = P + h, Q + g
        wire = min(Fraction(0), -(P + _get(row, "z_bottom") * Q)) * _get(row, "wire")
        total += _get(row, "moment") * Q + _least_ring_work(row, P, Q) + wire
    if total <= 0:
        raise _RefusedError("multipliers: they do not exclude every line")
    return Finding(NO_LINE, (), float(total / size) if size else None)
