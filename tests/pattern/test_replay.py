"""What a version keeps of its changes is enough to make it again from the first draft."""

import pytest

from fittings.demo.shop import open_shop
from patterns.models import Pattern, PatternVersion
from patterns.rules.difference import differences
from patterns.rules.pattern import Change, SidePattern

pytestmark = pytest.mark.django_db


def replayed(version: PatternVersion, side: str) -> SidePattern:
    """The first version's side with every change since, in their order."""
    if version.parent is None:
        return SidePattern.read(version.sides[side])
    changes = [Change.read(kept) for kept in version.changes if kept["side"] == side]
    return replayed(version.parent, side).with_changes(*changes)


def test_every_version_of_the_demo_shop_is_made_again_from_the_first_by_its_changes() -> None:
    open_shop()
    latest = [pattern.versions.all()[0] for pattern in Pattern.objects.all()]
    assert sum(version.number > 2 for version in latest) >= 5
    for version in latest:
        for side in ("left", "right"):
            kept = SidePattern.read(version.sides[side])
            assert differences(replayed(version, side), kept) == ()
