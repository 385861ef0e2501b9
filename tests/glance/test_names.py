"""What the sheets call things: words of the trade, never the ids of rules."""

from fittings.glance.sheets import _called
from patterns.rules.garment_catalogue import GARMENT_FINDINGS


def test_suggestion_on_a_garment_is_called_by_what_was_seen_not_by_its_id() -> None:
    called = [_called(rule) for rule in GARMENT_FINDINGS]
    assert not [name for name in called if "_" in name or not name[0].isupper()]
    assert len(set(called)) == len(called)


def test_suggestion_of_the_shops_own_row_is_called_so() -> None:
    assert _called("own-lapel") == "A finding of the shop's own"
