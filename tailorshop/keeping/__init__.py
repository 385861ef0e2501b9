"""Keeping the record: backup and restore, and what holds when a machine stops in the middle.

An archive is a tar file, sealed with age where wanted: the database as it stood at one moment,
then the photographs (named by what they hold, so that a later copy has all that the database
names), then a manifest with the digest of each. `snapshot` takes the database, `archive` writes,
`unpack` reads and refuses, `restoring` puts back, `pruning` says which are kept.
"""
