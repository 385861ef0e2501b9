"""Finished papers put one after another into one file, pages and tags as they are."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Any, Final

from pypdf import PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    NameObject,
    NumberObject,
)

_TREE: Final = NameObject("/StructTreeRoot")
_KIDS: Final = NameObject("/K")
_PARENT: Final = NameObject("/P")
_NUMBERS: Final = NameObject("/Nums")
_BY_PAGE: Final = NameObject("/StructParents")


def joined(papers: Sequence[bytes], *, title: str) -> bytes:
    """Tagged PDFs as one, in this order; at least one.

    Each keeps its pages, bookmarks and tags; the file takes the language of the first, and has a
    title of its own. It does not claim to be PDF/UA: that claim stands in what is left behind.
    """
    writer, readers = PdfWriter(), [PdfReader(BytesIO(paper)) for paper in papers]
    tags = _Tags(writer)
    for reader in readers:
        first = len(writer.pages)
        writer.append(reader)
        tags.take(reader, first)
    _name(writer, readers[0], title)
    writer.compress_identical_objects(remove_duplicates=False, remove_unreferenced=True)
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def pages_in(paper: bytes) -> int:
    return len(PdfReader(BytesIO(paper)).pages)


class _Tags:
    """The tree of tags of a file under way: a branch for each paper."""

    def __init__(self, writer: PdfWriter) -> None:
        self.writer = writer
        self.parts, self.by_page = ArrayObject(), ArrayObject()
        self.whole = DictionaryObject(_element("/Document") | {_KIDS: self.parts})
        kept = writer._add_object(self.whole)
        tree = DictionaryObject({NameObject("/Type"): _TREE, _KIDS: ArrayObject([kept])})
        tree[NameObject("/ParentTree")] = DictionaryObject({_NUMBERS: self.by_page})
        self.whole[_PARENT] = writer._add_object(tree)
        writer.root_object[_TREE] = self.whole.raw_get(_PARENT)

    def take(self, reader: PdfReader, first: int) -> None:
        """The tags of a paper whose pages were put in from the page `first` on."""
        old: Any = reader.root_object[_TREE]
        for document in old[_KIDS]:
            taken: Any = document.clone(self.writer)
            taken.get_object().update(_element("/Part"))
            taken.get_object()[_PARENT] = self.whole.indirect_reference
            self.parts.append(taken)
        numbers = old["/ParentTree"][_NUMBERS]
        of_page = dict(zip(numbers[::2], numbers[1::2], strict=True))
        for place, page in enumerate(reader.pages, start=first):
            self.by_page.append(NumberObject(place))
            self.by_page.append(of_page[page[_BY_PAGE]].clone(self.writer))
            self.writer.pages[place][_BY_PAGE] = NumberObject(place)


def _element(kind: str) -> dict[Any, Any]:
    """What a tag of this kind says of itself (ISO 32000, structure elements)."""
    return {NameObject("/Type"): NameObject("/StructElem"), NameObject("/S"): NameObject(kind)}


def _name(writer: PdfWriter, first: PdfReader, title: str) -> None:
    root = writer.root_object
    for said in ("/Lang", "/MarkInfo", "/ViewerPreferences"):
        root[NameObject(said)] = first.root_object[said].clone(writer)
    author = first.metadata.author if first.metadata else None
    writer.add_metadata({"/Title": title, "/Author": author or "", "/Producer": "pypdf"})
