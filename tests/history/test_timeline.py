"""The patterns of a customer through the years: what is shown, of whom, and how it is drawn."""

import datetime as dt
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fittings.drafting import branch
from fittings.models import Customer, Order, Stage
from fittings.pattern_history.lanes import lanes
from fittings.pattern_history.timeline import patterns_of
from patterns.models import PatternVersion
from tests.asked import queries
from tests.conftest import Signed
from tests.factories import (
    CustomerFactory,
    FittingFactory,
    OrderFactory,
    PatternFactory,
    PatternVersionFactory,
    TicketFactory,
    UserFactory,
)
from tests.photographs.pictures import photographed
from tests.ticket.worked import LEFT_FORWARD, issued

pytestmark = pytest.mark.django_db


def page_of(client: Client, customer: Customer, **asked: Any) -> str:
    answer = client.get(reverse("customer-patterns", args=[customer.pk]), asked)
    assert answer.status_code == 200
    return answer.content.decode()


def item(page: str, version: PatternVersion) -> str:
    return page.partition(f'id="version-{version.pk}"')[2].partition('id="version-')[0]


def branched(source: PatternVersion, order: Order | None = None) -> PatternVersion:
    return branch(source, name="Overcoat", order=order, by=UserFactory(), at=timezone.now())


def test_a_customer_nothing_was_cut_for_has_no_lanes(fitter: Signed) -> None:
    page = page_of(fitter[0], CustomerFactory())
    assert "Nothing was cut for" in page
    assert "<svg" not in page


def test_a_version_tells_the_ticket_fitting_readings_and_corrections_that_caused_it(
    fitter: Signed,
) -> None:
    client, user = fitter
    user.units = "mm"
    user.save()
    ticket = issued(LEFT_FORWARD)
    after, before = ticket.pattern_after, ticket.pattern_before
    assert after is not None
    assert before is not None
    page = page_of(client, ticket.order.customer)
    told = item(page, after)
    assert f"ticket {ticket}" in told
    assert ticket.fitting.get_absolute_url() in told
    assert "63 mm forward of the sleeve" in told  # the reading
    assert "cuff forward, 8 mm" in told  # the correction: 63 in 600 is 6 degrees, 8 mm of 480
    assert "Wearer's left" in told.replace("&#x27;", "'")
    assert "ticket" not in item(page, before)


def test_photographs_of_the_fitting_are_shown_while_the_customer_agrees_to_them(
    fitter: Signed,
) -> None:
    ticket = issued(LEFT_FORWARD)
    picture = photographed(ticket.fitting, fitter[1])
    small = reverse("photograph-thumb", args=[picture.pk])
    customer = ticket.order.customer
    assert small in page_of(fitter[0], customer)
    customer.fitting_photo_consent_on = None
    customer.save()
    assert small not in page_of(fitter[0], customer)


def test_a_shared_pattern_tells_nothing_of_the_other_customer(fitter: Signed) -> None:
    ticket = issued(LEFT_FORWARD)
    before, after = ticket.pattern_before, ticket.pattern_after
    assert after is not None
    other = OrderFactory(pattern_version=before)
    page = page_of(fitter[0], other.customer)
    assert "somebody else" in item(page, after)
    assert ticket.number not in page
    assert str(ticket.order.customer) not in page
    assert "63" not in item(page, after)


def test_an_unused_branch_belongs_to_whom_its_source_was_cut_for_and_a_used_one_to_its_wearer() -> (
    None
):
    order, other = OrderFactory(pattern_version=PatternVersionFactory()), OrderFactory()
    source = order.pattern_version
    loose, taken = branched(source), branched(source, other)
    assert list(patterns_of(order.customer)) == [source.pattern, loose.pattern]
    assert list(patterns_of(other.customer)) == [taken.pattern]


def test_a_retired_pattern_says_when_and_why_at_its_last_version(fitter: Signed) -> None:
    pattern = PatternFactory(retired_on=dt.date(2026, 3, 1), retired_reason="Grown stout.")
    first = PatternVersionFactory(pattern=pattern)
    last = PatternVersionFactory(pattern=pattern, number=2, parent=first)
    order = OrderFactory(pattern_version=last)
    page = page_of(fitter[0], order.customer)
    assert "1 Mar 2026: Grown stout." in item(page, last)
    assert "Grown stout." not in item(page, first)


def test_an_erased_customer_has_no_such_page(fitter: Signed) -> None:
    customer = CustomerFactory(erased_on=dt.date(2026, 3, 1))
    assert fitter[0].get(reverse("customer-patterns", args=[customer.pk])).status_code == 404


def test_versions_are_paged_and_asked_for_by_as_many_queries_however_many(fitter: Signed) -> None:
    ticket = issued(LEFT_FORWARD)
    customer, after = ticket.order.customer, ticket.pattern_after
    assert after is not None

    def asked() -> int:
        return queries(lambda: page_of(fitter[0], customer))

    few = asked()
    for number in range(3, 26):
        after = PatternVersionFactory(pattern=after.pattern, number=number, parent=after)
        fitting = FittingFactory(order=ticket.order)
        TicketFactory(number=f"T-9{number:03d}", fitting=fitting, pattern_after=after)
    OrderFactory(customer=customer, pattern_version=branched(after))
    assert asked() == few
    assert "Page 1 of 2" in page_of(fitter[0], customer)
    assert f'id="version-{ticket.pattern_before_id}"' in page_of(fitter[0], customer, page=2)


# the drawing


def strokes(svg: str, name: str) -> list[str]:
    root = ET.fromstring(svg)  # noqa: S314 (our own drawing)
    return [str(path.get("d")) for path in root.iter() if path.get("data-line") == name]


def test_lanes_draw_nothing_for_nothing_and_no_line_for_one_version() -> None:
    assert lanes([], []) == ""
    version = PatternVersionFactory()
    svg = lanes([version], [version.pattern])
    assert strokes(svg, "lane") == strokes(svg, "branch") == strokes(svg, "retired") == []
    assert svg.count("<circle") == 1


def test_a_branch_is_joined_by_a_broken_line_from_the_version_where_it_begins() -> None:
    first = PatternVersionFactory()
    second = PatternVersionFactory(pattern=first.pattern, number=2, parent=first)
    branch_of_first = branched(first)
    svg = lanes([first, second, branch_of_first], [first.pattern, branch_of_first.pattern])
    (joint,) = strokes(svg, "branch")
    (lane,) = strokes(svg, "lane")
    assert joint.startswith(lane.partition("L")[0])  # both begin at version 1
    root = ET.fromstring(svg)  # noqa: S314
    broken = [p for p in root.iter() if p.get("data-line") == "branch"]
    assert all(path.get("stroke-dasharray") for path in broken)
    assert "branched from" in svg


def test_a_version_not_made_from_the_one_before_it_passes_that_one_by() -> None:
    first = PatternVersionFactory()
    second = PatternVersionFactory(pattern=first.pattern, number=2, parent=first)
    third = PatternVersionFactory(pattern=first.pattern, number=3, parent=first)
    svg = lanes([third, second, first], [first.pattern])
    straight, dip = sorted(strokes(svg, "lane"), key=len)
    assert straight.count("M") == 1
    assert dip.count("M") == 3


def test_a_retired_lane_ends_in_a_bar_and_says_so() -> None:
    version = PatternVersionFactory(pattern__retired_on=dt.date(2026, 3, 1))
    svg = lanes([version], [version.pattern])
    assert len(strokes(svg, "retired")) == 1
    assert ">retired</text>" in svg


# a garment begun from any version


def start(client: Client, version: PatternVersion, order: Order, how: str) -> int:
    url = reverse("pattern-start", args=[order.customer_id, version.pk])
    return client.post(url, {"order": order.pk, "how": how}).status_code


@pytest.fixture
def known() -> tuple[PatternVersion, Order]:
    """A version a delivered coat was cut from, and the next order of its wearer."""
    coat = OrderFactory(pattern_version=PatternVersionFactory(), stage=Stage.DELIVERED)
    return coat.pattern_version, OrderFactory(customer=coat.customer, stage=Stage.MEASURED)


def test_an_order_that_waits_is_cut_from_a_version_in_two_taps(
    fitter: Signed, known: tuple[PatternVersion, Order]
) -> None:
    version, order = known
    page = page_of(fitter[0], order.customer)
    first_tap = reverse("pattern-start", args=[order.customer_id, version.pk])
    assert first_tap in page
    assert str(order) in fitter[0].get(first_tap).content.decode()
    assert start(fitter[0], version, order, "cut") == 302
    order.refresh_from_db()
    assert order.pattern_version == version


def test_an_order_is_cut_from_a_branch_and_the_version_stays(
    fitter: Signed, known: tuple[PatternVersion, Order]
) -> None:
    version, order = known
    assert start(fitter[0], version, order, "branch") == 302
    order.refresh_from_db()
    assert order.pattern_version != version
    assert order.pattern_version is not None
    assert order.pattern_version.pattern.branched_from == version
    assert order.pattern_version.sides == version.sides


def test_a_retired_pattern_is_branched_and_not_cut_from(
    fitter: Signed, known: tuple[PatternVersion, Order]
) -> None:
    version, order = known
    version.pattern.retired_on = dt.date(2026, 3, 1)
    version.pattern.retired_reason = "Grown stout."
    version.pattern.save()
    page = fitter[0].get(reverse("pattern-start", args=[order.customer_id, version.pk]))
    assert "Grown stout." in page.content.decode()
    assert start(fitter[0], version, order, "cut") == 422
    order.refresh_from_db()
    assert order.pattern_version is None
    assert start(fitter[0], version, order, "branch") == 302


def test_a_garment_that_is_cut_already_is_not_offered(
    fitter: Signed, known: tuple[PatternVersion, Order]
) -> None:
    version, order = known
    order.stage = Stage.CUT
    order.save()
    assert start(fitter[0], version, order, "cut") == 404


def test_a_new_order_begins_as_the_last_one_from_that_pattern(
    fitter: Signed, known: tuple[PatternVersion, Order]
) -> None:
    version, order = known
    Order.objects.filter(pattern_version=version).update(style="double-breasted")
    url = reverse("order-new", args=[order.customer_id])
    page = fitter[0].get(url, {"from": version.pk}).content.decode()
    assert 'value="double-breasted"' in page
    assert f'<option value="{version.pk}" selected' in page


def test_a_version_of_somebody_else_begins_no_order(fitter: Signed) -> None:
    strange = PatternVersionFactory()
    customer = CustomerFactory()
    url = reverse("order-new", args=[customer.pk])
    assert fitter[0].get(url, {"from": strange.pk}).status_code == 404
    start_url = reverse("pattern-start", args=[customer.pk, strange.pk])
    assert fitter[0].get(start_url).status_code == 404
