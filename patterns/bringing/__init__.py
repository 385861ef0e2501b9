"""Patterns that were drawn elsewhere brought in: from an SVG or DXF file, or from a photograph.

`svg` and `dxf` read a file into the same `brought.Brought`, named lines in mm; `laying` lays each
piece as we lay it; `understanding` measures the numbers that the rules work on and makes of it a
side of a pattern. What a file must hold stands in FORMAT.md. Nothing is ever fetched.
"""
