"""What must be so whenever a server was killed, asked by plain SQL and of plain files."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from hashlib import sha256
from typing import Any, Final

from tests.killing.clients import BOOK_ROWS
from tests.running.installation import Installation

# Each finds the halves of something; none may be there.
HALVES: Final[Mapping[str, str]] = {
    "a ticket without lines": """
        SELECT t.number, t.revision FROM fittings_ticket t
        WHERE NOT EXISTS (SELECT 1 FROM fittings_ticketline l WHERE l.ticket_id = t.id)""",
    "a ticket whose pattern version is not there": """
        SELECT t.number FROM fittings_ticket t WHERE t.pattern_after_id IS NULL""",
    "a pattern version of a ticket that is not there": """
        SELECT v.id FROM patterns_patternversion v WHERE v.note LIKE 'Ticket %'
        AND NOT EXISTS (SELECT 1 FROM fittings_ticket t WHERE t.pattern_after_id = v.id)""",
    "a pattern version of a ticket without its change": """
        SELECT v.id FROM patterns_patternversion v
        WHERE v.note LIKE 'Ticket %' AND CAST(v.changes AS TEXT) = '[]'""",
    "a garment that is not at the version of its newest ticket": """
        SELECT o.number FROM fittings_order o JOIN fittings_ticket t ON t.order_id = o.id
        WHERE NOT EXISTS (SELECT 1 FROM fittings_ticket l WHERE l.supersedes_id = t.id)
        AND o.pattern_version_id <> t.pattern_after_id""",
    "a paper with two that supersede it": """
        SELECT supersedes_id FROM fittings_ticket WHERE supersedes_id IS NOT NULL
        GROUP BY supersedes_id HAVING COUNT(*) > 1""",
    "a form that was done and led nowhere": """
        SELECT digest FROM tailorshop_sentonce WHERE led_to = ''""",
    "a customer without a history": """
        SELECT c.id FROM fittings_customer c
        WHERE NOT EXISTS (SELECT 1 FROM fittings_historicalcustomer h WHERE h.id = c.id)""",
    "a customer whom the search does not find": """
        SELECT c.id FROM fittings_customer c WHERE NOT EXISTS (
        SELECT 1 FROM fittings_findable f WHERE f.kind = 'customer' AND f.object_id = c.id)""",
    "a row of a book that is kept and has no customer": """
        SELECT r.id FROM fittings_bookrow r WHERE r.state = 'kept' AND r.customer_id IS NULL""",
    "a customer kept twice": """
        SELECT family_name FROM fittings_customer WHERE given_name = 'Ada'
        GROUP BY family_name HAVING COUNT(*) > 1""",
}


def look_over(shop: Installation, kept: Mapping[str, list[str]]) -> None:
    """Fails where anything that was answered as kept is not there exactly once, or half is."""
    for what, query in HALVES.items():
        assert shop.rows(query) == [], what
    if not shop.address:
        assert shop.rows("PRAGMA integrity_check") == [("ok",)]
        assert shop.rows("PRAGMA foreign_key_check") == []
    found = there(shop)
    for kind, names in kept.items():
        lost = [name for name in names if found[kind][name] != 1]
        assert not lost, f"{kind}, answered as kept and not there once: {lost}"
    _files_are_whole(shop)


def there(shop: Installation) -> dict[str, Counter[str]]:
    """How often the record holds what each kind of client writes, by what it is found by."""
    customers = _all(shop, "SELECT family_name FROM fittings_customer WHERE given_name = 'Ada'")
    books = Counter(name.rpartition("-")[0] for name in customers)
    tickets = "SELECT fitting_id FROM fittings_ticket WHERE revision = 1"
    return {
        "Readings": Counter(_all(shop, "SELECT id FROM fittings_entry")),
        "Photographs": Counter(_all(shop, "SELECT id FROM fittings_photograph")),
        "Tickets": Counter(
            [f"reason {r}" for r in _all(shop, "SELECT reason FROM fittings_ticket")]
            + [f"fitting {f}" for f in _all(shop, tickets)]
        ),
        "Versions": Counter(_all(shop, "SELECT note FROM patterns_patternversion")),
        # A book is there once when each of its rows is.
        "Books": Counter({name: n / BOOK_ROWS for name, n in books.items()}),  # type: ignore[dict-item]
    }


def _all(shop: Installation, query: str) -> list[str]:
    return [_plain(value) for (value,) in shop.rows(query)]


def _plain(value: Any) -> str:
    """Identities are written with dashes by one engine and without by the other."""
    text = str(value)
    return text.replace("-", "") if text.count("-") == 4 else text


def _files_are_whole(shop: Installation) -> None:
    """Each photograph on record has its file, which holds what its name says, and its small one."""
    for (digest,) in shop.rows("SELECT DISTINCT sha256 FROM fittings_photograph"):
        folder = shop.folder / "media/photographs" / digest[:2]
        assert sha256((folder / f"{digest}.jpg").read_bytes()).hexdigest() == digest
        assert (folder / f"{digest}-small.jpg").stat().st_size > 0
