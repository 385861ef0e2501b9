"""What the record refuses, said in a sentence; the project turns these into answers at one edge."""


class Refused(Exception):
    """A step that the state of the record does not allow; its text says what to do instead."""


class RecordChanged(Refused):
    """Somebody else saved this record since it was opened."""


class Frozen(Refused):
    """The record is signed or issued and can only be added to."""


class WouldNotWalk(Refused):
    """The pattern that would be made fails a check; a written reason overrules it."""


class MoreThanLeft(Refused):
    """More inlay was used than the record has left; said once more, it is kept."""
