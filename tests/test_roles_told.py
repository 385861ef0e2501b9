"""What README and the owner's page say about who may do what, against what the table enforces."""

from pathlib import Path

from django.urls import reverse

from tailorshop.models import Role
from tailorshop.roles import ACCESS, EVERYBODY, TABLE, may_open
from tests.conftest import Signed
from tests.signing_in.people import said_who_they_are

README = Path(__file__).resolve().parents[1] / "README.md"


def told() -> dict[str, dict[str, str]]:
    """README's table: what, and for each role what it says."""
    lines = README.read_text("utf-8").split("## Who may do what")[1].splitlines()
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines if "|" in line]
    head, _, *body = rows[: next(n for n, row in enumerate(rows) if len(row) != len(rows[0]))]
    return {row[0]: dict(zip(head[1:], row[1:], strict=True)) for row in body}


def test_readme_says_of_every_row_what_the_table_enforces() -> None:
    rows = told()
    inside = {words: names for words, who, names in TABLE if who != EVERYBODY}
    assert rows.keys() == inside.keys()
    for words, names in inside.items():
        for role in Role:
            says = rows[words][role.value] != "no"
            assert all(may_open(role, name) is says for name in names), (words, role)


def test_no_address_stands_in_two_rows() -> None:
    assert len(ACCESS) == sum(len(names) for _, _, names in TABLE)


def test_the_owners_page_shows_the_whole_table(owner: Signed) -> None:
    said_who_they_are(owner)
    page = owner[0].get(reverse("staff-list")).content.decode()
    for words, _, _ in TABLE:
        assert words.replace("'", "&#x27;").capitalize()[:12] in page
