"""What would make a design meet? Looks for the least amount of a change that is enough, and says what it costs.

Invented data of a community orchard. Without `changes` every change that makes sense is tried, then pairs of them.
"""

from pathlib import Path

import shellcheck_earth as se

HERE = Path(__file__).parent

found = se.choose(
    HERE / "narrow-store.toml", changes=["wider tube", "more wire"], pairs=False, largest=False, workers=1
)

print(f"{found.design.name}, as it stands: {found.now.verdict}, {found.now.least.share:.2f} of what is required")
for change in found.singles:
    print(f"{change.name}: {change.helps}")
    if change.least is not None and change.cost is not None:
        print(
            f"  from {change.least:g} m on, with {change.cost.fill:.1f} m3 of fill instead of {found.cost.fill:.1f} m3"
        )
