"""Pattern pages: what was changed, why, by whom, and what was cut from it."""

from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from fittings.models import Customer
from fittings.views import pattern_list
from patterns.models import Pattern, PatternVersion
from tests.asked import queries_of
from tests.conftest import Signed
from tests.factories import OrderFactory, PatternVersionFactory, sides
from tests.ticket.worked import LEFT_FORWARD, issued

pytestmark = pytest.mark.django_db


def next_version(before: PatternVersion, **sleeve: Any) -> PatternVersion:
    """A version whose left sleeve has these numbers instead."""
    changed = sides()
    changed["left"]["sleeve"] |= sleeve
    made: PatternVersion = PatternVersionFactory(
        pattern=before.pattern, number=before.number + 1, parent=before, sides=changed
    )
    return made


def test_a_first_version_says_that_nothing_came_before(fitter: Signed) -> None:
    page = fitter[0].get(PatternVersionFactory().pattern.get_absolute_url()).content
    assert b"The first version." in page


def test_page_says_what_changed_on_which_side_and_which_ticket_caused_it(fitter: Signed) -> None:
    client, user = fitter
    user.units = "mm"
    user.save()
    ticket = issued(LEFT_FORWARD)
    assert ticket.pattern_after is not None
    page = client.get(ticket.pattern_after.pattern.get_absolute_url()).content.decode()
    left = page.partition("Wearer's left")[2].partition("Wearer's right")[0]
    assert "Notches along the armhole" in left
    assert "8 mm" in left
    assert "cuff forward" in left
    assert "as it was" in page.partition("Wearer's right")[2]
    assert f"ticket {ticket}" in page
    assert str(ticket.order) in page
    assert "Nora Becker" in page


def test_version_page_shows_both_sides_in_the_readers_unit(fitter: Signed) -> None:
    client, user = fitter
    user.units = "in"
    user.save()
    first = PatternVersionFactory()
    second = next_version(first, notch_shift_mm=25.4, length_mm=635.0)
    page = client.get(second.get_absolute_url()).content.decode()
    rows = page.partition('id="numbers"')[2]
    notch = rows.partition("Notches moved along the armhole")[2].partition("</tr>")[0]
    assert "1 in" in notch
    assert "cuff forward" in notch
    assert "0 in" in notch  # the right, as it was
    assert "differ" in notch
    length = rows.partition("Length, crown to cuff")[2].partition("</tr>")[0]
    assert "25 in" in length


def test_drawing_lies_over_the_parent_with_an_old_line(fitter: Signed) -> None:
    first = PatternVersionFactory()
    longer = next_version(first, length_mm=660)
    plain = fitter[0].get(first.get_absolute_url()).content.decode()
    over = fitter[0].get(longer.get_absolute_url()).content.decode()
    assert plain.count("<svg") == over.count("<svg") == 4  # armhole and sleeve, left and right
    assert plain.count('data-line="old"') == 0
    assert over.count('data-line="old"') >= 2  # top and under sleeve of the left


def test_a_version_that_cannot_be_drawn_says_why_and_is_still_shown(fitter: Signed) -> None:
    broken = sides()
    broken["left"]["sleeve"]["girth_mm"]["biceps"] = 600
    version = PatternVersionFactory(sides=broken)
    answer = fitter[0].get(version.get_absolute_url())
    assert answer.status_code == 200
    assert "cannot be set into an armhole" in answer.content.decode()


def test_list_finds_by_name_number_order_and_customer(fitter: Signed) -> None:
    version = PatternVersionFactory(pattern__name="Easy coat", pattern__block="house block 4")
    order = OrderFactory(pattern_version=version, customer__family_name="Sandoval")
    for words in ("easy", version.pattern.number, "house", order.number, "sandoval"):
        page = fitter[0].get(reverse("pattern-list"), {"q": words}).content
        assert b"1 pattern " in page, words
    assert b"0 patterns" in fitter[0].get(reverse("pattern-list"), {"q": "nobody"}).content


@pytest.mark.parametrize(("most", "few"), [(5_000, 500), (10, 1), (10, 0), (0, 0)])
def test_list_forgives_accents_and_a_letter_however_many_are_found(
    fitter: Signed, monkeypatch: pytest.MonkeyPatch, most: int, few: int
) -> None:
    """The same is found where the rows are asked one by one, and where those of one word are."""
    monkeypatch.setattr(pattern_list, "MOST", most)
    monkeypatch.setattr(pattern_list, "MOST_OF_SEVERAL", most)
    monkeypatch.setattr(pattern_list, "FEW", few)
    name = {"customer__family_name": "Sandovál"}
    own = PatternVersionFactory(pattern__name="Coat for Sandovál").pattern
    cut = PatternVersionFactory(pattern__name="Easy coat")
    OrderFactory.create_batch(2, pattern_version=cut, **name)
    OrderFactory(pattern_version=None, **name)
    PatternVersionFactory(pattern__name="Another coat")
    for words in ("sandoval", "Sandovál", "sandowal", "sandoval coat"):
        page = fitter[0].get(reverse("pattern-list"), {"q": words})
        assert {row.pk for row in page.context["page"]} == {own.pk, cut.pattern_id}, words


def test_an_erased_customer_is_not_found_and_not_named(fitter: Signed) -> None:
    version = PatternVersionFactory()
    order = OrderFactory(pattern_version=version, customer__family_name="Sandoval")
    Customer.objects.update(erased_on=timezone.localdate())
    assert b"0 patterns" in fitter[0].get(reverse("pattern-list"), {"q": "sandoval"}).content
    page = fitter[0].get(version.get_absolute_url()).content.decode()
    assert "Sandoval" not in page
    assert order.number in page


def test_workroom_sees_patterns_but_no_contact_data_and_no_way_to_change_them(
    workroom: Signed,
) -> None:
    version = PatternVersionFactory()
    OrderFactory(pattern_version=version, customer__phone="555 0142")
    page = workroom[0].get(version.pattern.get_absolute_url())
    assert page.status_code == 200
    assert b"555 0142" not in page.content
    assert b"Branch for another garment" not in page.content
    branch = reverse("pattern-branch", args=[version.pattern.pk, 1])
    assert workroom[0].get(branch).status_code == 404


def test_owner_retires_a_pattern_with_a_reason_and_it_is_kept(owner: Signed) -> None:
    pattern = PatternVersionFactory().pattern
    url = reverse("pattern-retire", args=[pattern.pk])
    assert owner[0].post(url, {"reason": "the figure changed"}).status_code == 302
    pattern.refresh_from_db()
    assert pattern.retired_on == timezone.localdate()
    assert b"0 patterns" in owner[0].get(reverse("pattern-list")).content
    assert b"1 pattern<" in owner[0].get(reverse("pattern-list"), {"retired": "1"}).content
    assert b"the figure changed" in owner[0].get(pattern.get_absolute_url()).content


def test_retiring_wants_a_reason_and_is_done_once(owner: Signed) -> None:
    pattern = PatternVersionFactory().pattern
    url = reverse("pattern-retire", args=[pattern.pk])
    assert owner[0].post(url, {"reason": " "}).status_code == 422
    owner[0].post(url, {"reason": "worn out"})
    again = owner[0].post(url, {"reason": "worn out"})
    assert again.status_code == 422
    assert "already" in again.content.decode()


def test_only_the_owner_retires(fitter: Signed) -> None:
    pattern = PatternVersionFactory().pattern
    url = reverse("pattern-retire", args=[pattern.pk])
    assert fitter[0].post(url, {"reason": "no"}).status_code == 404
    assert Pattern.objects.in_use().count() == 1


def test_list_asks_the_database_equally_often_for_few_and_many(fitter: Signed) -> None:
    PatternVersionFactory()
    few = queries_of(fitter[0], reverse("pattern-list"))
    for version in PatternVersionFactory.create_batch(5):
        OrderFactory(pattern_version=version)
        next_version(version)
    assert queries_of(fitter[0], reverse("pattern-list")) == few


def test_page_asks_the_database_equally_often_for_two_versions_and_five(fitter: Signed) -> None:
    first = PatternVersionFactory()
    OrderFactory(pattern_version=next_version(first, length_mm=650))
    few = queries_of(fitter[0], first.pattern.get_absolute_url())
    for number in range(3, 6):
        last = first.pattern.versions.first()
        assert last is not None
        OrderFactory.create_batch(2, pattern_version=next_version(last, length_mm=650 + number))
    assert queries_of(fitter[0], first.pattern.get_absolute_url()) == few


def test_a_retired_version_is_read_tried_and_branched_and_offers_no_change(fitter: Signed) -> None:
    version = PatternVersionFactory(
        pattern__retired_on=timezone.localdate(), pattern__retired_reason="Grown stout."
    )
    args = [version.pattern_id, version.number]
    page = fitter[0].get(version.get_absolute_url()).content.decode()
    assert "Grown stout." in page
    for name in ("pattern-try", "pattern-branch", "pattern-print", "pattern-check"):
        assert reverse(name, args=args) in page
        assert fitter[0].get(reverse(name, args=args)).status_code == 200
    assert reverse("pattern-draft", args=args) not in page
    assert reverse("pattern-bring-in", args=args[:1]) not in page
