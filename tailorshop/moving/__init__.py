"""The whole shop as one file in a form of its own, out of one database and into another.

`whole` says what goes and in which form, `going_out` writes, `coming_in` checks and reads. The form
is told in FORMAT.md. A backup is quicker and keeps more; this is to leave with, or to grow with.
"""
