"""Worked examples of the phase relations (P1, P3, P7)."""

from __future__ import annotations

from shellcheck_earth.loads import phases

from .table import Check

__all__ = ["checks"]

CRAIG, DAS = "Craig, Soil Mechanics, ch. 1 (memory)", "Das, Principles of Geotechnical Engineering (memory)"


def checks() -> list[Check]:
    dry, w = 2.035 / 1.15e-3, (2.290 - 2.035) / 2.035
    bulk = phases.bulk_density(dry, w)
    n, S = phases.porosity(dry, 2680), phases.saturation(w, dry, 2680)
    out = [
        Check("P1 bulk density [kg/m3]", CRAIG, "memory", 1990.0, bulk, 2.0, "book rounds to 10", 2.290 / 1.15e-3),
        Check(
            "P1 unit weight [kN/m3]",
            CRAIG,
            "memory",
            19.5,
            phases.unit_weight(bulk),
            0.05,
            "printed digits",
            2.290 / 1.15e-3 * 9.80665 / 1000,
        ),
        Check(
            "P1 void ratio",
            CRAIG,
            "memory",
            0.52,
            phases.void_ratio(dry, 2680),
            0.006,
            "book rounds on the way",
            0.5145,
        ),
        Check("P1 porosity", CRAIG, "memory", 0.34, n, 0.005, "printed digits", 0.3397),
        Check("P1 saturation [%]", CRAIG, "memory", 64.5, 100 * S, 0.8, "book rounds e on the way", 65.27),
        Check("P1 air content", CRAIG, "memory", 0.121, n * (1 - S), 0.0035, "book rounds e on the way", 0.1180),
    ]
    # A saturated clay: the dry density follows from w = e/Gs, the rest from the tool.
    w3 = (0.69 - 0.50) / 0.50
    dry3 = 2700 / (1 + w3 * 2.7)
    source = "course solution (read)"
    out += [
        Check("P3 void ratio", source, "read", 1.026, phases.void_ratio(dry3, 2700), 5e-4, "printed digits", w3 * 2.7),
        Check("P3 porosity", source, "read", 0.51, phases.porosity(dry3, 2700), 5e-3, "printed digits"),
        Check(
            "P3 moisture when full",
            source,
            "read",
            0.38,
            phases.saturation_moisture(dry3, 2700),
            5e-4,
            "printed digits",
            w3,
        ),
        Check("P3 dry density [lb/ft3]", source, "read", 83.2, dry3 * 0.3048**3 / 0.45359237, 0.1, "printed digits"),
    ]
    volume, wet, solid = 0.0093, 177.6, 153.6
    dry7, w7 = solid / 9.81 / volume, (wet - solid) / solid
    out += [
        Check(
            "P7 unit weight [kN/m3]",
            DAS,
            "memory",
            19.10,
            phases.bulk_density(dry7, w7) * 9.81 / 1000,
            5e-3,
            "printed digits",
            wet / volume / 1000,
        ),
        Check("P7 void ratio", DAS, "memory", 0.61, phases.void_ratio(dry7, 2710), 5e-3, "printed digits"),
        Check("P7 porosity", DAS, "memory", 0.38, phases.porosity(dry7, 2710), 5e-3, "printed digits"),
        Check(
            "P7 saturation [%]",
            DAS,
            "memory",
            69.5,
            100 * phases.saturation(w7, dry7, 2710),
            0.6,
            "book rounds e on the way",
        ),
    ]
    return out
