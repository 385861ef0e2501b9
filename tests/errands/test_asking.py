"""Long work asked for at a page: made once, seen by whoever asked, gone when it should be."""

import datetime as dt
import io
import uuid
import zipfile
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django_tasks_db.models import DBTaskResult

from fittings.erasing.erase import erase
from fittings.erasing.parts import PHOTOGRAPHS, destroy
from fittings.errands import kinds, queue, under_way
from fittings.models import AtWork, BookStep, CustomerBook, Errand, ErrandState
from fittings.refusals import Refused
from tailorshop.health import ready
from tailorshop.models import Role
from tailorshop.working import Working
from tests.conftest import Signed
from tests.errands.under_way import NOW, ask_month, at_work, files
from tests.factories import CustomerFactory, UserFactory

pytestmark = pytest.mark.usefixtures("one_connection")


def grown_old(by: dt.timedelta) -> None:
    Errand.objects.update(beat_at=NOW() - by, ended_at=NOW() - by)


def test_where_nobody_is_at_work_it_is_made_in_the_request(owner: Signed, quick: None) -> None:
    answer = owner[0].post(reverse("glance-month"), {"month": "2026-03"}, follow=True)
    assert b"".join(answer.streaming_content) == b"%PDF of a month"
    assert answer["Content-Disposition"] == 'inline; filename="shop-2026-03.pdf"'
    assert answer["Cache-Control"] == "private, no-store"


def test_a_month_that_is_none_is_refused_with_how_to_write_it(owner: Signed) -> None:
    answer = ask_month(owner[0], month="March")
    assert answer.status_code == 422
    assert "such as 2026-03" in answer.content.decode()
    assert not Errand.objects.exists()


def test_it_waits_for_the_worker_and_the_page_says_how_it_stands(
    owner: Signed, worker: None, quick: None
) -> None:
    page = ask_month(owner[0])["Location"]
    said = owner[0].get(page).content.decode()
    assert "It waits its turn" in said
    assert "Look again" in said, "also without any script"
    state = f"{page}state/"
    row, seen = Errand.objects.get(), {"seen": "waiting 0 0 False"}
    assert f"{state}?seen=waiting%200%200%20False" in said
    assert owner[0].get(state, seen).status_code == 204, "nothing new"
    Working().once()
    said = owner[0].get(state, seen).content.decode()
    assert "It is made" in said
    assert "<html" not in said
    assert reverse("errand-file", args=[row.pk]) in said
    assert "March 2026 on paper" in owner[0].get(reverse("glance")).content.decode()


def test_pressed_twice_it_is_one_and_so_is_the_same_month_while_one_waits(
    owner: Signed, worker: None, quick: None
) -> None:
    first = ask_month(owner[0], "a")["Location"]
    assert ask_month(owner[0], "a")["Location"] == first
    assert ask_month(owner[0], "b")["Location"] == first
    assert ask_month(owner[0], "c", "2026-04")["Location"] != first
    Working().once()
    assert ask_month(owner[0], "a")["Location"] == f"{first}file/", "the same form still"
    assert ask_month(owner[0], "d")["Location"] != first
    assert Errand.objects.count() == DBTaskResult.objects.count() == 3


def test_nobody_else_opens_it_not_even_another_owner(owner: Signed, quick: None) -> None:
    ask_month(owner[0])
    other, row = Client(), Errand.objects.get()
    other.force_login(UserFactory(role=Role.OWNER))
    for name in ("errand", "errand-state", "errand-file"):
        assert owner[0].get(reverse(name, args=[row.pk])).status_code == 200
        assert other.get(reverse(name, args=[row.pk])).status_code == 404
    assert other.post(reverse("errand-go-on", args=[row.pk])).status_code == 404
    owner[1].role = Role.FITTER
    owner[1].save()
    assert owner[0].get(reverse("errand-file", args=[row.pk])).status_code == 404


@pytest.mark.parametrize(
    ("fault", "told"),
    [
        (ValueError("Zzfamily"), "the log of the shop says where"),
        (Refused("Nothing was fitted in that month."), "Nothing was fitted in that month."),
    ],
)
def test_what_fails_is_told_in_words_and_made_when_asked_once_more(
    owner: Signed, quick: None, monkeypatch: pytest.MonkeyPatch, fault: Exception, told: str
) -> None:
    def fails(*said: Any) -> bytes:
        raise fault

    with monkeypatch.context() as patched:
        patched.setattr(kinds, "month_pdf", fails)
        page = ask_month(owner[0])["Location"]
    said = owner[0].get(page).content.decode()
    assert "This could not be made" in said
    assert told in said
    assert "Zzfamily" not in said + DBTaskResult.objects.get().traceback
    owner[0].post(f"{page}go-on/")
    assert "It is made" in owner[0].get(page).content.decode()


def test_a_fault_past_our_own_words_leaves_none_of_its_words_in_the_queue(
    owner: Signed, quick: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*said: Any) -> None:
        raise RuntimeError("Zzfamily")

    monkeypatch.setattr(queue, "_make", fails)
    page = ask_month(owner[0])["Location"]
    row = DBTaskResult.objects.get()
    assert row.exception_class_path.endswith("StoppedShort")
    assert "Zzfamily" not in row.traceback
    assert "It is being made" in owner[0].get(page).content.decode()
    assert queue.give_back(NOW() + dt.timedelta(minutes=1)) == 1, "and begun once more later"


def test_a_dead_workers_errand_is_given_back_twice_and_then_given_up(
    owner: Signed, worker: None, quick: None
) -> None:
    page = ask_month(owner[0])["Location"]
    for tries in (1, 2, 3):
        begun, _ = at_work()
        assert begun.tries == tries
        assert queue.give_back(NOW()) == 0, "it has just given a sign of life"
        # Silent for long; or heard of before the clock was set back.
        grown_old(queue.DEAD_AFTER * (-2 if tries == 2 else 2))
        assert queue.give_back(NOW()) == 1
        assert queue.give_back(NOW()) == 0, "and no second look takes it again"
    assert Errand.objects.get().state == ErrandState.FAILED
    assert "begun 3 times and broken off" in owner[0].get(page).content.decode()
    assert not queue.waits()


def test_a_worker_taken_for_dead_that_goes_on_changes_nothing(
    owner: Signed, worker: None, quick: None
) -> None:
    ask_month(owner[0])
    slow, _ = at_work()
    grown_old(queue.DEAD_AFTER * 2)
    queue.give_back(NOW())
    Working().once()
    with pytest.raises(under_way.NoLongerOurs):
        kinds.month(slow)
    assert files() == ["2.pdf"]
    assert Errand.objects.get().file.endswith("2.pdf")


def test_a_long_book_is_read_beside_the_pages_and_half_a_book_is_seen_by_nobody(
    owner: Signed, worker: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("fittings.views.books.ROWS_AT_ONCE", 2)
    monkeypatch.setattr(kinds, "LOT", 2)
    data = "Surname;Number\n" + "".join(f"Ash {n};{n}\n" for n in range(5))
    sent = {"book": SimpleUploadedFile("old.csv", data.encode())}
    page = owner[0].post(reverse("book-new"), sent)["Location"]
    begun, _ = at_work()
    with monkeypatch.context() as patched:
        patched.setattr(kinds, "told", _stopped)
        with pytest.raises(InterruptedError):
            kinds.book(begun)
    half = CustomerBook.objects.get()
    assert (half.step, half.rows.count()) == (BookStep.READING, 2)
    assert owner[0].get(half.get_absolute_url()).status_code == 404
    assert half.get_absolute_url() not in owner[0].get(reverse("in-and-out")).content.decode()
    grown_old(queue.DEAD_AFTER * 2)
    queue.give_back(NOW())
    Working().once()
    whole = CustomerBook.objects.get()
    assert (whole.name, whole.step, whole.rows.count()) == ("old.csv", BookStep.COLUMNS, 5)
    assert whole.get_absolute_url() in owner[0].get(page).content.decode()
    assert files() == []


def _stopped(*args: Any, **said: Any) -> None:
    raise InterruptedError


def test_a_record_goes_with_its_customer_and_with_the_photographs(
    owner: Signed, django_capture_on_commit_callbacks: Any, settings: Any, tmp_path: Any
) -> None:
    settings.ERASURE_LIST = tmp_path / "erased.jsonl"
    customer, kept = CustomerFactory(), CustomerFactory()
    for one in (customer, kept):
        address = reverse("customer-record", args=[one.pk])
        data = b"".join(owner[0].post(address, follow=True).streaming_content)
        assert "record.json" in zipfile.ZipFile(io.BytesIO(data)).namelist()
    assert len(files()) == 2
    with django_capture_on_commit_callbacks(execute=True):
        destroy(kept, PHOTOGRAPHS, by=owner[1], at=NOW())
    assert [row.customer for row in Errand.objects.all()] == [customer]
    row = Errand.objects.get()
    with django_capture_on_commit_callbacks(execute=True):
        erase(customer, by=owner[1], on=dt.date(2026, 3, 2))
    assert files() == []
    assert not Errand.objects.exists()
    assert owner[0].get(reverse("errand-file", args=[row.pk])).status_code == 404


# Of minus a year: it was made while the clock ran ahead.
@pytest.mark.parametrize("age", [dt.timedelta(days=2), dt.timedelta(days=-365)])
def test_what_is_made_is_kept_a_day_and_what_waits_for_as_long_as_it_takes(
    owner: Signed, quick: None, age: dt.timedelta
) -> None:
    ask_month(owner[0])
    AtWork.objects.create(name="worker", seen_at=NOW() + queue.DEAD_AFTER / 2)
    ask_month(owner[0], month="2026-04")
    under_way.sweep(NOW())
    assert files() == ["1.pdf"]
    default_storage.save("errands/@thumbs/not-ours", ContentFile(b""))
    grown_old(age)
    under_way.sweep(NOW())
    assert files() == ["not-ours"]
    assert [row.state for row in Errand.objects.all()] == [ErrandState.WAITING]
    Working().once()
    assert Errand.objects.get().state == ErrandState.DONE


def test_whoever_watches_the_shop_is_told_what_waits_and_the_workers_age(
    owner: Signed, keeper: Signed, worker: None, client: Client
) -> None:
    ask_month(owner[0])
    AtWork.objects.update(seen_at=NOW() - dt.timedelta(seconds=7))
    told = keeper[0].get(reverse(ready)).json()["errands"]
    assert told["worker_seen_s"] in (7, 8, 9)
    assert (told["waiting"], told["working"], told["failed"]) == (1, 0, 0)
    assert "errands" not in client.get(reverse(ready)).json()


def test_a_page_is_told_where_its_worker_has_died_and_may_do_it_itself(
    owner: Signed, worker: None, quick: None
) -> None:
    page = ask_month(owner[0])["Location"]
    at_work()
    grown_old(queue.DEAD_AFTER * 2)
    AtWork.objects.update(seen_at=NOW() - queue.DEAD_AFTER * 2)
    said = owner[0].get(f"{page}state/", {"seen": "working 0 0 False"}).content.decode()
    assert "Nobody is at work" in said
    owner[0].post(f"{page}go-on/")
    assert "It is made" in owner[0].get(page).content.decode()
    assert default_storage.exists(f"errands/{uuid.UUID(page.split('/')[2])}/2.pdf")
