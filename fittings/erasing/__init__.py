"""A person erased on request: from the record, its history, the files, and restored backups."""
