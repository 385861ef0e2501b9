"""A customer's whole record, or the whole shop's, carried out as a file and in elsewhere."""
