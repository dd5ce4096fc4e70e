"""Drawings for other programs: dimensioned views as DXF, the body of the dome as STL and 3MF. Geometry, no verdict."""
