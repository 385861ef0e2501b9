"""A pattern of two versions to print: what the second changed is drawn against the first."""

import copy

import pytest

from patterns.models import PatternVersion
from tests.factories import PatternVersionFactory, sides


@pytest.fixture
def version(db: None) -> PatternVersion:
    """Version 2, its left sleeve let out by 6 mm a piece and its seams moved."""
    first = PatternVersionFactory()
    changed = copy.deepcopy(sides())
    changed["left"]["sleeve"] |= {
        "girth_mm": {"biceps": 392, "elbow": 342, "cuff": 270},
        "hindarm_shift_mm": {"head": 12, "elbow": 12, "cuff": 6},
    }
    return PatternVersionFactory(pattern=first.pattern, number=2, parent=first, sides=changed)
