"""A starter file of site readings, every procedure in its comments: fill in, delete what was not measured."""

from __future__ import annotations

__all__ = ["STARTER"]

STARTER = """\
# Site readings for `shellcheck-earth soil`. Every value is a string with its unit; metric and imperial mix
# freely.
# Delete every section that was not measured. `..._within` is how far off a reading may be (plus or minus).

[sample]                          # a box or a length of tube filled and tamped as hard as the wall
mass = "31.0 kg"
mass_within = "0.1 kg"
# measured with water or sand; a tube is rounder than width x height x length
volume = "16.0 l"
volume_within = "0.4 l"
particle_density = "2650 kg/m3"   # of the grains: sand 2650, clay up to 2800

# a spoonful of the same fill, weighed damp, dried until it loses no more, weighed again
[drying]
wet = "1250 g"                    # with its container
dry = "1165 g"                    # with its container
container = "310 g"
mass_within = "2 g"

# cylinders, cubes or whole bags pressed until they fail; one section a state of the fill
[[crush]]
state = "as placed"               # dry | as placed | wet
width = "150 mm"                  # least width or diameter
length = "150 mm"                 # the other width; leave out for a round sample
height = "300 mm"
loads = ["3.4 kN", "3.9 kN", "3.6 kN"]
load_within = "0.1 kN"

# one filled course on another, wire between as in the wall, loaded, tilted until it slips: three times at least,
# rebuilt each time
[[tilt]]
bed = "dry"                       # dry | wet
angles = ["33 deg", "35 deg", "34 deg"]   # when it slips; over 60 degrees it is interlock, not friction
angle_within = "1 deg"
mass = "120 kg"                   # of all that lies on the bed: the upper course and its load
width = "350 mm"                  # of the bed
length = "800 mm"

# three more with at least twice the load tell friction from interlock; fewer are no measurement
[[tilt]]
bed = "dry"
angles = ["30 deg", "31 deg", "30 deg"]
angle_within = "1 deg"
mass = "300 kg"
width = "350 mm"
length = "800 mm"

# a ring sealed onto a tamped face, water a few millimetres deep, topped up from a measure
[soak]
depth = "18 mm"                   # water taken in: volume over the area of the ring
depth_within = "1 mm"
time = "6 h"
# clay 320, clay loam 210, loam 90, sand 50 mm (farm soils; Rawls and others 1983)
suction_head = "210 mm"

[tube]
flat_width = "450 mm"             # empty, laid flat, one layer wide
filled_width = "370 mm"           # filled and tamped, in at least three places
course_height = "135 mm"
within = "5 mm"

[wire]                            # single strands pulled until they break
loads = ["4.1 kN", "4.4 kN", "4.2 kN"]
load_within = "0.1 kN"
"""
