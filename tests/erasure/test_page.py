"""The owner's page of erasing, the commands, and the list that outlives a restore."""

from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from fittings.erasing.listed import listed, write_down
from fittings.models import Customer, Erasure
from tests.conftest import Signed
from tests.erasure.conftest import DAY
from tests.factories import CustomerFactory, OrderFactory


def told(capsys: Any) -> str:
    return str(capsys.readouterr().out)


def test_another_number_erases_nobody_and_says_what_to_type(owner: Signed) -> None:
    customer = CustomerFactory()
    at = reverse("customer-erase", args=[customer.pk])
    answer = owner[0].post(at, {"number": "C-9999"})
    assert answer.status_code == 422
    assert f"Type {customer.number} as it stands above" in answer.content.decode()
    assert Customer.objects.present().get() == customer


def test_the_page_says_what_goes_what_stays_and_what_is_still_open(owner: Signed) -> None:
    order = OrderFactory(stage="baste")
    page = owner[0].get(reverse("customer-erase", args=[order.customer_id])).content.decode()
    assert "This is destroyed and cannot be brought back" in page
    assert "This stays, without the person" in page
    assert "1 order of this customer is not delivered yet" in page


def test_the_number_typed_erases_and_is_written_down(owner: Signed, erasure_list: Path) -> None:
    customer = CustomerFactory(family_name="Brackenwhistle")
    at = reverse("customer-erase", args=[customer.pk])
    answer = owner[0].post(at, {"number": customer.number.lower()}, follow=True)
    assert f"{customer.number} is erased" in answer.content.decode()
    assert owner[0].get(customer.get_absolute_url()).status_code == 404
    assert Erasure.objects.get().by == owner[1]
    assert [(one.customer, one.number) for one in listed()] == [(customer.pk, customer.number)]
    assert "Brackenwhistle" not in erasure_list.read_text()
    assert erasure_list.stat().st_mode & 0o077 == 0


@pytest.mark.django_db
def test_writing_down_twice_writes_once() -> None:
    Erasure.objects.create(customer_key=7, number="C-0007", erased_on=DAY)
    write_down()
    write_down()
    assert len(listed()) == 1


@pytest.mark.django_db
def test_the_command_wants_the_number_typed_once_more(monkeypatch: Any) -> None:
    customer = CustomerFactory()
    monkeypatch.setattr("builtins.input", lambda words: "no")
    with pytest.raises(CommandError, match="Nothing was erased"):
        call_command("erase_customer", customer.number)
    monkeypatch.setattr("builtins.input", lambda words: customer.number)
    call_command("erase_customer", customer.number)
    assert not Customer.objects.present().exists()
    with pytest.raises(CommandError, match="erased already"):
        call_command("erase_customer", customer.number, "--yes")
    with pytest.raises(CommandError, match="No customer has the number"):
        call_command("erase_customer", "C-9999", "--yes")


@pytest.mark.django_db
def test_a_restored_record_forgets_again_whom_it_had_forgotten(
    erasure_list: Path, capsys: Any
) -> None:
    back, other = CustomerFactory(), CustomerFactory()
    taken = CustomerFactory(number="C-0777")  # the key of somebody else who was erased elsewhere
    erasure_list.write_text(
        f'{{"customer": {back.pk}, "number": "{back.number}", "on": "2026-03-02"}}\n'
        f'{{"customer": {taken.pk}, "number": "C-0003", "on": "2026-03-02"}}\n'
    )
    call_command("reapply_erasures")
    assert f"Erased again: {back.number}." in told(capsys)
    assert set(Customer.objects.present()) == {other, taken}
    assert Customer.objects.get(pk=back.pk).erased_on == DAY
    call_command("reapply_erasures")
    assert "Erased again: nobody." in told(capsys)


@pytest.mark.django_db
def test_the_list_of_the_record_is_enough_where_the_file_is_lost(capsys: Any) -> None:
    back = CustomerFactory()
    Erasure.objects.create(customer_key=back.pk, number=back.number, erased_on=DAY)
    call_command("reapply_erasures")
    assert f"Erased again: {back.number}." in told(capsys)
    assert len(listed()) == 1


@pytest.mark.django_db
def test_a_line_that_cannot_be_read_stops_the_command(erasure_list: Path) -> None:
    erasure_list.write_text('{"customer": 1, "numb')
    with pytest.raises(CommandError, match="line 1 cannot be read"):
        call_command("reapply_erasures")
