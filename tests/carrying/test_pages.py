"""A record exported from one page and brought in by another."""

import io
import uuid
import zipfile
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from fittings.models import CarriedIn, Customer, Findable
from tests.carrying.shop import empty_shop
from tests.conftest import Signed
from tests.factories import FigureNoteFactory, OrderFactory, UserFactory


def export(client: Any, customer: Customer) -> bytes:
    answer = client.post(reverse("customer-record", args=[customer.pk]), follow=True)
    assert answer["Content-Disposition"] == f'attachment; filename="{customer.number}.zip"'
    assert answer["Cache-Control"] == "private, no-store"
    return b"".join(answer.streaming_content)


def hand_in(client: Any, data: bytes) -> Any:
    return client.post(reverse("record-new"), {"record": SimpleUploadedFile("r.zip", data)})


def waiting_files() -> list[str]:
    return default_storage.listdir("handed-in")[1] if default_storage.exists("handed-in") else []


def test_a_file_that_is_no_record_comes_back_with_what_to_do(owner: Signed) -> None:
    answer = hand_in(owner[0], b"nothing of the kind")
    assert answer.status_code == 422
    assert "This is not a record" in answer.content.decode()
    answer = owner[0].post(reverse("record-new"))
    assert answer.status_code == 422
    assert "Choose the zip file that was exported." in answer.content.decode()
    assert waiting_files() == []


def test_a_record_goes_out_by_one_page_and_in_by_another(client: Any, owner: Signed) -> None:
    note = FigureNoteFactory(customer=OrderFactory(cloth="plum flannel").customer)
    name, data = str(note.customer), export(owner[0], note.customer)
    assert zipfile.ZipFile(io.BytesIO(data)).testzip() is None
    empty_shop()
    client.force_login(UserFactory(role="owner"))
    at = hand_in(client, data)["Location"]
    page = client.get(at).content.decode()
    assert name in page
    assert "Nothing of it is kept yet" in page
    assert not Customer.objects.exists()
    answer = client.post(at, follow=True)
    assert f"Brought in: {name}." in answer.content.decode()
    assert Customer.objects.get().orders.get().cloth == "plum flannel"
    assert Findable.objects.filter(object_id=Customer.objects.get().pk, kind="customer").exists()
    assert CarriedIn.objects.get().from_shop == "The shop"
    assert waiting_files() == []


def test_bringing_in_twice_makes_one_customer(owner: Signed) -> None:
    data = export(owner[0], OrderFactory().customer)
    answer = owner[0].get(hand_in(owner[0], data)["Location"])
    assert answer.status_code == 422
    assert "is here already" in answer.content.decode()
    assert Customer.objects.count() == 1


def test_a_record_that_is_left_is_deleted_here(owner: Signed) -> None:
    at = hand_in(owner[0], export(owner[0], OrderFactory().customer))["Location"]
    assert len(waiting_files()) == 1
    owner[0].post(f"{at}leave/")
    assert waiting_files() == []
    answer = owner[0].get(at)
    assert "choose it once more" in answer.content.decode()


@pytest.mark.django_db
def test_a_record_of_a_stranger_is_not_there_for_a_fitter(fitter: Signed) -> None:
    assert fitter[0].get(reverse("record", args=[uuid.uuid4()])).status_code == 404
