"""Finished papers put together: pages, tags, language and title, read back by other programs.

Structure of tagged PDF: ISO 32000-1, 14.7 (structure trees) and 14.8.
"""

from collections.abc import Iterator
from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader

from fittings.paper import ticket_pdf
from fittings.paper.joining import joined
from tests.ticket.worked import LEFT_FORWARD, RIGHT_BACK, issued, words_of

pytestmark = pytest.mark.django_db


def elements(node: Any) -> Iterator[Any]:
    """Each structure element under a node, depth first."""
    node = node.get_object()
    for one in node if isinstance(node, list) else [node]:
        found: Any = one.get_object()
        if isinstance(found, dict) and found.get("/Type") == "/StructElem":
            yield found
            if "/K" in found:
                yield from elements(found["/K"])


def kinds(pdf: bytes) -> list[str]:
    root: Any = PdfReader(BytesIO(pdf)).trailer["/Root"]
    return [str(one["/S"]) for one in elements(root["/StructTreeRoot"]["/K"])]


@pytest.fixture
def papers() -> list[bytes]:
    return [
        ticket_pdf(issued(LEFT_FORWARD), unit="mm", language="it"),
        ticket_pdf(issued([*LEFT_FORWARD, *RIGHT_BACK]), unit="in", size="A5"),
    ]


def test_one_paper_alone_keeps_its_words_and_its_tags(papers: list[bytes]) -> None:
    file = joined(papers[:1], title="One")
    assert words_of(file) == words_of(papers[0])
    assert kinds(file) == ["/Document", "/Part", *kinds(papers[0])[1:]]


def test_every_tag_of_every_paper_stands_in_the_file_in_order(papers: list[bytes]) -> None:
    kept = [kind for paper in papers for kind in ("/Part", *kinds(paper)[1:])]
    assert kinds(joined(papers, title="Two")) == ["/Document", *kept]


def test_from_each_page_its_tags_are_found_and_they_lead_back_to_it(papers: list[bytes]) -> None:
    reader = PdfReader(BytesIO(joined(papers, title="Two")))
    root: Any = reader.trailer["/Root"]
    tree = root["/StructTreeRoot"]
    numbers = tree["/ParentTree"]["/Nums"]
    by_page = dict(zip(numbers[::2], numbers[1::2], strict=True))
    assert len(by_page) == len(reader.pages)
    for page in reader.pages:
        tagged = [one.get_object() for one in by_page[page["/StructParents"]].get_object()]
        elements_of_it = [one for one in tagged if isinstance(one, dict)]
        assert elements_of_it
        for one in elements_of_it:
            assert one.raw_get("/Pg") == page.indirect_reference
            while one["/Type"] != "/StructTreeRoot":
                one = one["/P"]
            assert one.indirect_reference == tree.indirect_reference


def test_the_file_says_its_language_and_a_title_of_its_own(papers: list[bytes]) -> None:
    reader = PdfReader(BytesIO(joined(papers, title="Work tickets")))
    root: Any = reader.trailer["/Root"]
    assert root["/Lang"] == "it"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712 (its own kind of bool)
    assert root["/MarkInfo"]["/Marked"] == True  # noqa: E712
    assert reader.metadata is not None
    assert reader.metadata.title == "Work tickets"
    assert len(reader.outline) == sum(len(PdfReader(BytesIO(one)).outline) for one in papers)


def test_the_same_papers_give_the_same_bytes(papers: list[bytes]) -> None:
    assert joined(papers, title="Two") == joined(papers, title="Two")
