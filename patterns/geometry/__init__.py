"""The sleeve as geometry: millimetres and degrees, numpy only.

Signs, for both sides of the body (the left sleeve is the mirror of the right, so the same number
means the same act): pitch above zero hangs the cuff further forward; ``a`` above zero moves the
hindarm seam out and up; ``b`` above zero moves the forearm seam in and down; an elbow turn above
zero points the elbow outward.
"""
