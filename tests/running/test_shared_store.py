"""Photographs in a store shared by several hosts, against a local server of the S3 interface."""

import datetime as dt
import io
import uuid
from typing import Any

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from fittings.erasing.parts import PHOTOGRAPHS, destroy
from fittings.models import Photograph
from fittings.photographs.keeping import name_of
from tailorshop import env
from tailorshop.faults import STORE, fault_of
from tailorshop.shared_store import Pause
from tests.conftest import Signed
from tests.factories import CustomerFactory, FittingFactory
from tests.photographs.pictures import file, quartered


def keys(bucket: Any) -> set[str]:
    return {one.key for one in bucket.objects.all()}


@pytest.mark.django_db(transaction=True)
def test_a_photograph_is_kept_shown_and_erased_in_the_bucket(fitter: Signed, bucket: Any) -> None:
    client, _ = fitter
    agreed = CustomerFactory(fitting_photo_consent_on=dt.date(2026, 1, 5))
    fitting = FittingFactory(order__customer=agreed)
    sent = {
        "shows": "front",
        "identity": str(uuid.uuid4()),
        "photograph": SimpleUploadedFile("a.jpg", file(quartered())),
    }
    assert client.post(reverse("photograph-new", args=[fitting.pk]), sent).status_code < 400
    photograph = Photograph.objects.get()
    sha256 = photograph.sha256
    names = {f"one/{name_of(sha256, size)}" for size in ("master", "thumb")}
    assert keys(bucket) == names

    for page in ("photograph", "photograph-thumb"):
        answer = client.get(reverse(page, args=[photograph.pk]))
        assert Image.open(io.BytesIO(answer.content)).format == "JPEG"
        assert "Location" not in answer, "never an address of the store itself"

    agreed.fitting_photo_consent_on = None
    agreed.save()
    assert client.get(reverse("photograph", args=[photograph.pk])).status_code == 404
    destroy(agreed, PHOTOGRAPHS, by=None, at=timezone.now())
    assert keys(bucket) == set()


def test_what_is_kept_is_open_to_nobody_without_the_key(bucket: Any) -> None:
    default_storage.save("photographs/a.jpg", ContentFile(b"seen"))
    grants = bucket.Object("one/photographs/a.jpg").Acl().grants
    assert [one["Grantee"]["Type"] for one in grants] == ["CanonicalUser"]


def test_the_same_content_kept_twice_stands_once(bucket: Any) -> None:
    first = default_storage.save("photographs/a.jpg", ContentFile(b"seen"))
    assert default_storage.save("photographs/a.jpg", ContentFile(b"seen")) == first
    assert keys(bucket) == {"one/photographs/a.jpg"}


def test_a_file_that_is_not_there_is_missing_as_from_a_disk(bucket: Any) -> None:
    assert not default_storage.exists("photographs/none.jpg")
    with pytest.raises(FileNotFoundError):
        default_storage.open("photographs/none.jpg")


def test_a_store_that_does_not_answer_is_a_fault_and_not_a_missing_file(
    bucket: Any, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TAILORSHOP_S3_ENDPOINT", "http://127.0.0.1:9")
    settings.STORAGES = {**settings.STORAGES, "default": env.photograph_store()}
    for use in (
        lambda: default_storage.save("photographs/a.jpg", ContentFile(b"seen")),
        lambda: default_storage.listdir("photographs"),
        lambda: default_storage.get_modified_time("photographs/a.jpg"),
    ):
        with pytest.raises(OSError, match="does not answer") as told:
            use()
        assert not isinstance(told.value, FileNotFoundError)
        assert fault_of(told.value) is STORE, "what waits on a tablet is sent again"


def test_a_bucket_that_is_not_there_is_a_fault_and_not_a_missing_file(
    bucket: Any, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TAILORSHOP_S3_BUCKET", "of-somebody-else")
    settings.STORAGES = {**settings.STORAGES, "default": env.photograph_store()}
    with pytest.raises(OSError, match="refused") as told:
        default_storage.open("photographs/a.jpg")
    assert not isinstance(told.value, FileNotFoundError)
    assert fault_of(told.value) is STORE


def test_a_folder_is_used_where_no_bucket_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("TAILORSHOP_S3_BUCKET", raising=False)
    assert "S3" not in str(env.photograph_store())


@pytest.mark.parametrize(
    ("odd", "cure"),
    [
        ({"HAND_OVER_FILES": "x-accel-redirect"}, "write none"),
        ({"S3_SECRET": ""}, "or neither"),
    ],
)
def test_settings_that_do_not_go_together_are_told_with_the_cure(
    odd: dict[str, str], cure: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name, value in ({"S3_BUCKET": "a", "S3_KEY": "k", "S3_SECRET": "s"} | odd).items():
        monkeypatch.setenv(f"TAILORSHOP_{name}", value)
    with pytest.raises(ImproperlyConfigured, match=cure):
        env.photograph_store()


def test_a_store_that_did_not_answer_is_left_alone_and_then_asked_by_one() -> None:
    pause = Pause()
    assert [pause.is_over(now) for now in (0, 0)] == [True, True], "as long as all is well"
    pause.again_at = 20
    asked = [pause.is_over(now) for now in (19, 20, 20, 39, 40)]
    assert asked == [False, True, False, False, True]


def test_a_store_that_is_back_is_asked_by_everybody(bucket: Any) -> None:
    default_storage.pause.again_at = 1.0
    default_storage.save("photographs/a.jpg", ContentFile(b"seen"))
    assert default_storage.exists("photographs/a.jpg")
    assert default_storage.exists("photographs/a.jpg")
