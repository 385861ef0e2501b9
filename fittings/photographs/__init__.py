"""Photographs of a fitting: taken in, kept, and what may be done with them.

The record stands in `fittings.models.photographs`, the pages in `fittings.views.photographs`.
"""
