"""The pages of the record, one module per thing shown."""
