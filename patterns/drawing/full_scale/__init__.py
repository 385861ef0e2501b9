"""A pattern version at true size, to hand over: on tiled pages, on one sheet, as SVG, as DXF.

`pieces.drawings` draws every piece as layers of lines and words (`layers`), `layout` lays them on
a sheet, `tiles` spreads the sheet over pages; `paper`, `svg_file` and `dxf_file` write what was
laid out. The layers of the files are described in patterns/drawing/FORMATS.md.
"""
