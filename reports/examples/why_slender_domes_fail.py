"""Why do slender domes fail? Takes the wall away until no thrust line is left, and says how the dome then moves.

Invented data of a community orchard. A lesson, no verdict.
"""

from pathlib import Path

import shellcheck_earth as se

HERE = Path(__file__).parent

lesson = se.explain(HERE / "seed-store.toml", workers=1)

for way in lesson.ways:
    if way.kind != "wall" or way.edge is None:
        continue
    stands, falls = way.edge
    print(f"{way.case_title}: the wall is {way.designed:.3f} m; a thrust line is left at {stands:.3f} m,")
    print(f"  none at {falls:.3f} m: {way.outcome}")
    if way.collapse is not None:
        turning = way.collapse.hinge_inner + way.collapse.hinge_outer
        top = turning.argmax()
        print(f"  it then hinges most in the bed under course {way.collapse.number[top]}")
