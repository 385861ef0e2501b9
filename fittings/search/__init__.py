"""Words and numbers found in the whole record: what is kept for it, and how it is looked up."""
