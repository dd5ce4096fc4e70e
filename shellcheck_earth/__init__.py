"""shellcheck_earth: will a dome of coiled earth-filled tubes stand, at every stage, moisture and load?

The folders, in alphabetical order, are the order of the work and of the imports:
basics, design, geometry, loads, mechanics, safety, studies, views.
"""

__version__ = "0.1.0"
