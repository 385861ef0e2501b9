"""Files that are damaged at random, and some made to do harm, through the pages that take them."""

from __future__ import annotations

import io
import json
import warnings
import zipfile
from typing import Any, Final

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.test import Client
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from fittings.models import Customer, Fitting
from patterns.models import Pattern
from tests.bringing.files import dxf, svg
from tests.bringing.test_reading import polylines
from tests.carrying.test_book import BOOK
from tests.hostile.test_forms import ANSWERS, at_random
from tests.hostile.values import NASTY
from tests.photographs.pictures import file as picture
from tests.photographs.pictures import heic, quartered

pytestmark = pytest.mark.django_db

PICTURES: Final = {
    "a.jpg": picture(quartered()),
    "a.png": picture(quartered(), "PNG"),
    "a.webp": picture(quartered(), "WEBP"),
    "a.heic": heic(quartered()),
}
DRAWINGS: Final = {"a.svg": svg(), "a.dxf": dxf(polylines())}
FILENAMES: Final = ("a.jpg", "../../a.svg", "/etc/passwd", "a\0b", "", "x" * 300, "a\r\nb: c")


@st.composite
def damaged(draw: Any, wholes: dict[str, bytes]) -> SimpleUploadedFile:
    data = bytearray(draw(st.sampled_from(sorted(wholes.values()))))
    for _ in range(draw(st.integers(1, 6))):
        place = draw(st.integers(0, len(data)))
        junk = draw(st.binary(max_size=8))
        data[place : place + len(junk)] = junk
    if draw(st.booleans()):
        del data[draw(st.integers(0, len(data))) :]
    name = draw(st.sampled_from(FILENAMES))
    kind = draw(st.sampled_from(["image/jpeg", "text/html", "image/svg+xml", "", "a/b\r\nc: d"]))
    return SimpleUploadedFile(name or "a", bytes(data), content_type=kind)


def post(client: Client, address: str, **fields: Any) -> Any:
    """The answer, and the page looked at after it; all undone."""
    with transaction.atomic():
        try:
            answer = client.post(address, fields)
            assert answer.status_code in ANSWERS
            if answer.status_code in {302, 303}:
                assert client.get(answer["Location"]).status_code in ANSWERS
        finally:
            transaction.set_rollback(True)
    return answer


def test_a_damaged_photograph_is_taken_or_refused_and_nothing_else(owner_here: Client) -> None:
    fitting = Fitting.objects.filter(signed_at=None).latest("pk")
    address = reverse("photograph-new", args=(fitting.pk,))

    @at_random
    @given(file=damaged(PICTURES))
    def tried(file: SimpleUploadedFile) -> None:
        post(owner_here, address, photograph=file, shows="front")

    tried()


def test_a_damaged_drawing_is_read_or_refused_and_nothing_else(owner_here: Client) -> None:
    pattern = Pattern.objects.latest("pk")

    @at_random
    @given(drawing=damaged(DRAWINGS), paper=damaged(PICTURES))
    def tried(drawing: SimpleUploadedFile, paper: SimpleUploadedFile) -> None:
        post(owner_here, reverse("pattern-bring-in", args=(pattern.pk,)), file=drawing, unit="mm")
        post(owner_here, reverse("pattern-photo", args=(pattern.pk,)), picture=paper)

    tried()


TABLES: Final = {
    encoding: BOOK.encode(encoding) for encoding in ("utf-8", "utf-8-sig", "utf-16", "latin-1")
} | {
    "long": b"Surname,Note\r\nAsh," + b"x" * 300_000 + b"\r\n",
    "open quote": b'Surname;Note\nAsh;"never closed\n' + b"Dale;a\n" * 50,
    "wide": b";".join(b"a" for _ in range(3000)) + b"\n" + b"1;" * 2999,
    "ragged": b"Surname;Note\nAsh\nDale;a;b;c;d\n\n;;;;\n",
    "returns alone": b"Surname;Note\rAsh;a\rDale;b\r",
    "runs": b"Surname;Note\n=1+1;@SUM(A1)\n+1;-1\n",
}


def looked_at_and_kept(client: Client, file: SimpleUploadedFile) -> None:
    """A customer book handed in, its columns named, looked at and kept: each step answers."""
    with transaction.atomic():
        try:
            answer = client.post(reverse("book-new"), {"book": file})
            assert answer.status_code in ANSWERS
            if answer.status_code == 302:
                at = answer["Location"]
                assert client.get(at).status_code in ANSWERS
                named = {"column-0": "family_name", "column-1": "notes"}
                assert client.post(at, named).status_code in ANSWERS
                for step in ({}, {"keep": "1"}):
                    assert client.post(f"{at}next/", step).status_code in ANSWERS
                assert client.get(f"{at}mend.csv").status_code in ANSWERS
                assert client.get(at).status_code in ANSWERS
        finally:
            transaction.set_rollback(True)


@pytest.mark.parametrize("kind", sorted(TABLES))
def test_a_table_of_any_shape_is_looked_at_or_refused(owner_here: Client, kind: str) -> None:
    looked_at_and_kept(owner_here, SimpleUploadedFile("a.csv", TABLES[kind]))


def test_a_damaged_table_is_looked_at_or_refused_and_nothing_else(owner_here: Client) -> None:
    @at_random
    @given(file=damaged(TABLES))
    def tried(file: SimpleUploadedFile) -> None:
        looked_at_and_kept(owner_here, file)

    tried()


@pytest.fixture(scope="module")
def record(owner_here: Client, django_db_blocker: Any) -> bytes:
    """A customer's record as it goes out."""
    with django_db_blocker.unblock():
        customer = Customer.objects.earliest("pk")
        answer = owner_here.post(reverse("customer-record", args=(customer.pk,)), follow=True)
        return b"".join(answer.streaming_content)


def brought(client: Client, data: bytes) -> None:
    """Handed in, looked at, brought in, and the customer looked at: each answers."""
    with transaction.atomic():
        try:
            file = SimpleUploadedFile("a.zip", data, content_type="application/zip")
            answer = client.post(reverse("record-new"), {"record": file})
            assert answer.status_code in ANSWERS
            if answer.status_code == 302:
                waits = answer["Location"]
                assert client.get(waits).status_code in ANSWERS
                done = client.post(waits)
                assert done.status_code in ANSWERS
                if done.status_code == 302:
                    assert client.get(done["Location"]).status_code in ANSWERS
        finally:
            transaction.set_rollback(True)


def test_a_record_damaged_anywhere_is_brought_in_or_refused(
    owner_here: Client, record: bytes
) -> None:
    @at_random
    @given(file=damaged({"a.zip": record}))
    def tried(file: SimpleUploadedFile) -> None:
        brought(owner_here, file.read())

    tried()


def test_a_record_that_says_something_else_is_brought_in_or_refused(
    owner_here: Client, record: bytes
) -> None:
    with zipfile.ZipFile(io.BytesIO(record)) as file:
        name = next(n for n in file.namelist() if n.endswith(".json"))
        said = json.loads(file.read(name))
    places = list(leaves(said))

    @at_random
    @given(
        changes=st.dictionaries(
            st.sampled_from(places),
            st.sampled_from(
                [*NASTY, None, -1, 10**30, float("nan"), float("inf"), True, [], {}, 2.5]
            ),
            min_size=1,
            max_size=2,
        )
    )
    def tried(changes: dict[tuple[Any, ...], Any]) -> None:
        told = json.loads(json.dumps(said))
        for place, value in changes.items():
            put(told, place, value)
        brought(owner_here, zipped({name: json.dumps(told).encode()}, record))

    tried()


def leaves(node: Any, path: tuple[Any, ...] = ()) -> Any:
    inner = node.items() if isinstance(node, dict) else enumerate(node)
    for key, value in inner:
        if isinstance(value, dict | list) and value:
            yield from leaves(value, (*path, key))
        else:
            yield (*path, key)


def put(node: Any, path: tuple[Any, ...], value: Any) -> None:
    for key in path[:-1]:
        node = node[key]
    node[path[-1]] = value


def zipped(members: dict[str, bytes], whole: bytes = b"", **more: Any) -> bytes:
    """A zip file of these members, over those of another."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, **more) as file:
        if whole:
            with zipfile.ZipFile(io.BytesIO(whole)) as old:
                for name in old.namelist():
                    if name not in members:
                        file.writestr(name, old.read(name))
        for name, data in members.items():
            file.writestr(name, data)
    return out.getvalue()


@pytest.mark.parametrize(
    "kind", ["bomb", "escape", "absolute", "link", "twice", "deep", "encrypted"]
)
def test_a_zip_file_made_to_do_harm_is_refused(
    owner_here: Client, record: bytes, kind: str
) -> None:
    with zipfile.ZipFile(io.BytesIO(record)) as file:
        name = next(n for n in file.namelist() if n.endswith(".json"))
        text = file.read(name)
    link = zipfile.ZipInfo(name)
    link.external_attr = 0o120777 << 16
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the library tells of a name written twice
        match kind:
            case "bomb":
                file.writestr(name, b" " * 120_000_000)
            case "escape":
                file.writestr("../../../../" + name, text)
            case "absolute":
                file.writestr("/" + name, text)
            case "link":
                file.writestr(link, "/etc/passwd")
            case "twice":
                file.writestr(name, text)
                file.writestr(name, b"{}")
            case "deep":
                nested = b'{"form": ' + b"[" * 900 + b"]" * 900 + b"}"
                file.writestr(name, nested)
            case "encrypted":
                file.writestr(name, text)
    data = out.getvalue()
    if kind == "encrypted":  # the flag of it, in the member and in the list of members
        data = data.replace(b"PK\x03\x04\x14\0\0\0", b"PK\x03\x04\x14\0\x01\0")
        data = data.replace(b"PK\x01\x02\x14\x03\x14\0\0\0", b"PK\x01\x02\x14\x03\x14\0\x01\0")
    answer = post(owner_here, reverse("record-new"), record=SimpleUploadedFile("a.zip", data))
    assert answer.status_code == 422
