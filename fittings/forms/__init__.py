"""The forms of the record."""
