"""Check a design and read its margins. Run it in a clone: python reports/examples/check_a_design.py

Invented data of a community orchard. A calculation, not a permit.
"""

from pathlib import Path

import shellcheck_earth as se

HERE = Path(__file__).parent

design = se.read(HERE / "seed-store.toml")
result = se.check(design, explore=False)  # explore=True adds the calendar of the work

print(f"{design.name}: {result.verdict}")

# Each check, where it is closest to what is required, or furthest under it. A share of 1 just meets.
for check, (case, margin) in result.governing().items():
    print(f"{check:24} {margin.share:6.2f} of what is required, in: {case.title}")

# What stands between this design and a "meets": loads not stated, values not measured, proofs that are missing.
for doubt in result.doubts:
    print(f"in doubt: {doubt.kind}: {doubt.path} {doubt.value}".rstrip())

# The report, the build sheet and the proofs, as the command writes them:
# result.save("out/seed-store")
