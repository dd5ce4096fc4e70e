"""Which tube for which diameter? Every pair is read and checked like a design file of its own.

Invented data of a community orchard. No verdict: a design that is chosen here still has to be checked.
"""

from pathlib import Path

import shellcheck_earth as se

HERE = Path(__file__).parent
DIAMETERS = "dome.inside_diameter=2.4,3,3.6 m"
TUBES = "wall.filled_width=30,38,45 cm"

found = se.compare(HERE / "seed-store.toml", [DIAMETERS, TUBES], workers=1)

for point in found.points:
    diameter, tube = found.values(point)
    least = point.least
    closest = "" if least is None else f"{least.check} at {least.share:.2f} of what is required"
    print(f"{diameter} inside, tube filled to {tube}: {point.answer}; {closest}")
