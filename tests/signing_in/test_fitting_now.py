"""A quick code says who is fitting on a tablet that somebody is signed in on, and no more."""

from typing import Any

import pytest
from django.contrib.auth.hashers import make_password
from django.test import Client
from django.urls import reverse

from fittings.models import Entry
from tailorshop.models import Role, User
from tests.conftest import Signed
from tests.factories import FittingFactory, UserFactory
from tests.signing_in.people import said_who_they_are
from tests.ticket.worked import LEFT_FORWARD, issued

pytestmark = pytest.mark.django_db
CODE = "2749"


def coded(**facts: Any) -> User:
    return UserFactory(quick_code=make_password(CODE), **facts)


def change(client: Client, fitter: User, code: str = CODE, **more: Any) -> Any:
    return client.post(reverse("fitter-change"), {"fitter": fitter.pk, "code": code, **more})


def log(client: Client) -> Entry:
    at = reverse("fitting-entry", args=[FittingFactory().pk])
    assert client.post(at, {"check": "balance", "state": "settled"}).status_code == 302
    return Entry.objects.latest("made_at")


def test_without_a_code_entries_carry_the_name_signed_in(fitter: Signed) -> None:
    assert log(fitter[0]).made_by == fitter[1]


def test_after_a_code_entries_and_their_history_carry_the_fitters_name(fitter: Signed) -> None:
    other = coded(first_name="Odo", last_name="Sample")
    assert change(fitter[0], other, next="/orders/")["Location"] == "/orders/"
    entry = log(fitter[0])
    assert entry.made_by == other
    kept = entry.history.get()
    assert (kept.history_user, kept.history_through) == (other, fitter[1])
    page = fitter[0].get(reverse("today")).content.decode()
    assert f'Odo Sample <span class="soft">on {fitter[1]}' in page
    assert f'data-user="{other.pk}"' in page


def test_histories_say_on_whose_sign_in_it_was(fitter: Signed, owner: Signed) -> None:
    own = log(fitter[0])
    change(fitter[0], coded(first_name="Odo", last_name="Sample"))
    named = log(fitter[0])
    for entry, who in ((own, str(fitter[1])), (named, f"Odo Sample, on {fitter[1]}’s sign-in")):
        customer = {"customer": entry.fitting.order.customer_id}
        for at in (
            reverse("trail", query=customer),
            reverse("fitting-history", args=[entry.fitting_id]),
        ):
            assert f"<td>{who}</td>" in owner[0].get(at).content.decode()


def test_a_ticket_tells_the_owner_on_whose_sign_in_it_was_issued_and_checked(
    fitter: Signed, owner: Signed, workroom: Signed
) -> None:
    ticket = issued(LEFT_FORWARD)
    line = reverse("ticket-line", args=[ticket.number, ticket.revision, 1])
    workroom[0].post(line, {"tick": "done"})
    change(fitter[0], coded(first_name="Odo", last_name="Sample"))
    fitter[0].post(line, {"tick": "checked"})
    at, told = ticket.get_absolute_url(), f"checked by Odo Sample, on {fitter[1]}’s sign-in,"
    page = owner[0].get(at).content.decode()
    assert told in page
    assert page.count("sign-in,") == 1
    assert told not in workroom[0].get(at).content.decode()
    fitter[0].post(reverse("ticket-reissue", args=[ticket.number, 1]), {"reason": "read again"})
    page = owner[0].get(reverse("ticket", args=[ticket.number, 2])).content.decode()
    assert f"by Odo Sample, on {fitter[1]}’s sign-in</dd>" in page
    assert "checked by Odo Sample, " in page
    assert told not in page


def test_a_wrong_code_changes_nobody(fitter: Signed) -> None:
    assert change(fitter[0], coded(), "1111").status_code == 422
    assert log(fitter[0]).made_by == fitter[1]


def test_five_wrong_codes_end_the_session(fitter: Signed) -> None:
    other = coded()
    for _ in range(4):
        assert change(fitter[0], other, "1111").status_code == 422
    assert change(fitter[0], other, "1111")["Location"] == reverse("sign-in")
    assert fitter[0].get(reverse("today")).status_code == 302


def test_a_right_code_in_between_begins_the_count_anew(fitter: Signed) -> None:
    other = coded()
    for _ in range(2):
        for _ in range(4):
            change(fitter[0], other, "1111")
        assert change(fitter[0], other).status_code == 302


def test_a_right_code_of_ones_own_does_not_begin_the_count_at_another_name_anew(
    fitter: Signed,
) -> None:
    own, other = coded(), coded()
    for _ in range(5):
        for _ in range(3):
            change(fitter[0], other, "1111")
        change(fitter[0], own)
    # OWASP ASVS 5, 6.3.1: guesses are limited at the account that is guessed at.
    answer = change(fitter[0], other)
    assert answer.status_code == 422
    assert "said wrongly too often" in answer.content.decode()
    assert change(fitter[0], own).status_code == 302
    Client().force_login(other)
    assert change(fitter[0], other).status_code == 302


def test_wrong_codes_are_counted_in_a_form_that_would_be_done_once(fitter: Signed) -> None:
    other = coded()
    for _ in range(5):
        answer = change(fitter[0], other, "1111", sent_once="of-ones-own")
    assert answer["Location"] == reverse("sign-in")


def test_the_owners_code_opens_nothing_that_is_the_owners(fitter: Signed) -> None:
    owner = coded(role=Role.OWNER)
    assert change(fitter[0], owner).status_code == 302
    for name in ("staff-list", "glance", "shop-factors", "own-settings", "mfa_index"):
        assert fitter[0].get(reverse(name)).status_code == 404, name
    owner.refresh_from_db()
    assert owner.role == Role.OWNER


def test_a_fitter_on_the_owners_sign_in_has_a_fitters_pages(owner: Signed) -> None:
    change(owner[0], coded())
    assert owner[0].get(reverse("staff-list")).status_code == 404


def test_the_owners_own_code_does_not_bring_the_owners_pages_back(owner: Signed) -> None:
    User.objects.filter(pk=owner[1].pk).update(quick_code=make_password(CODE))
    change(owner[0], coded())
    change(owner[0], owner[1])
    assert owner[0].get(reverse("staff-list")).status_code == 404
    assert log(owner[0]).made_by == owner[1]


def test_the_workroom_cannot_become_a_fitter_by_a_code(workroom: Signed) -> None:
    assert change(workroom[0], coded()).status_code == 404
    assert workroom[0].get(reverse("customer-list")).status_code == 404


def test_a_maker_of_the_workroom_is_not_offered_as_fitter(fitter: Signed) -> None:
    assert change(fitter[0], coded(role=Role.WORKROOM)).status_code == 422


def test_a_code_of_somebody_no_longer_employed_ends_with_the_employment(fitter: Signed) -> None:
    other = coded()
    change(fitter[0], other)
    User.objects.filter(pk=other.pk).update(is_active=False)
    assert log(fitter[0]).made_by == fitter[1]


def test_another_code_ends_what_the_one_before_has_named(fitter: Signed) -> None:
    other = coded()
    change(fitter[0], other)
    User.objects.filter(pk=other.pk).update(quick_code=make_password("8351"))
    assert log(fitter[0]).made_by == fitter[1]


def test_what_waits_on_the_tablet_of_the_one_before_is_not_taken_for_the_next(
    fitter: Signed,
) -> None:
    change(fitter[0], coded())
    at = reverse("fitting-entry", args=[FittingFactory().pk])
    sent = {"check": "balance", "state": "settled"}
    answer = fitter[0].post(at, sent, headers={"Made-By": str(fitter[1].pk)})
    assert answer.status_code == 412
    assert not Entry.objects.exists()


def test_an_address_elsewhere_is_not_followed_after_the_code(fitter: Signed) -> None:
    answer = change(fitter[0], coded(), next="https://elsewhere.example/")
    assert answer["Location"] == reverse("today")


@pytest.mark.parametrize("code", ["123", "1234567", "12ab", "1111", "3456", "9876"])
def test_a_code_that_is_none_or_the_first_one_tried_is_refused(fitter: Signed, code: str) -> None:
    said_who_they_are(fitter)
    assert fitter[0].post(reverse("quick-code"), {"code": code}).status_code == 422


def test_a_code_is_set_after_the_password_and_kept_hashed(fitter: Signed) -> None:
    at = reverse("quick-code")
    assert fitter[0].post(at, {"code": CODE})["Location"].startswith("/own/confirm/")
    said_who_they_are(fitter)
    assert fitter[0].post(at, {"code": CODE}).status_code == 302
    fitter[1].refresh_from_db()
    assert CODE not in fitter[1].quick_code
    assert change(fitter[0], fitter[1]).status_code == 302


def test_signing_in_anew_forgets_who_was_fitting(fitter: Signed) -> None:
    change(fitter[0], coded())
    fitter[0].force_login(fitter[1])
    assert log(fitter[0]).made_by == fitter[1]
