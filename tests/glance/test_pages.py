"""The owner's pages: what is drawn, what is handed out, what is asked of the database."""

import re
from xml.etree import ElementTree

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from fittings.models import Outcome, ShopFactor
from fittings.outcomes.learning import shop_offers
from tests.conftest import Signed
from tests.glance.test_sheets import read_on_block
from tests.outcomes.shops import shop_with_outcomes
from tests.ticket.worked import words_of

SVG = "{http://www.w3.org/2000/svg}"


def test_the_page_of_an_empty_shop_says_so(owner: Signed) -> None:
    answer = owner[0].get(reverse("glance"))
    assert answer.status_code == 200
    assert "Nothing yet" in answer.content.decode()


def test_every_plot_stands_beside_its_table_and_its_file(owner: Signed) -> None:
    read_on_block(5.0, customers=9, sleeves=2)
    page = owner[0].get(reverse("glance"), {"years": "0"}).content.decode()
    (plot,) = re.findall(r'<img src="(/shop/plots/recurring[^"]+)" alt="[^"]+"', page)
    drawn = owner[0].get(plot.replace("&amp;", "&"))
    assert drawn["Content-Type"] == "image/svg+xml"
    assert ElementTree.fromstring(drawn.content).tag == f"{SVG}svg"  # noqa: S314 - our own
    table = owner[0].get(reverse("glance-csv", args=["recurring"]), {"years": "0"})
    assert (
        table.content.decode("utf-8-sig")
        .splitlines()[1]
        .startswith("lean: the cuff further forward,5.0")
    )


def test_the_same_numbers_are_drawn_to_the_same_bytes(owner: Signed) -> None:
    read_on_block(5.0, customers=5, sleeves=1)
    address = reverse("glance-plot", args=["fittings"])
    assert owner[0].get(address).content == owner[0].get(address).content


def test_a_sheet_that_does_not_exist_is_not_there(owner: Signed) -> None:
    assert owner[0].get(reverse("glance-plot", args=["nonsense"])).status_code == 404


def test_the_month_on_paper_leaves_out_a_block_of_four_customers(owner: Signed) -> None:
    read_on_block(5.0, customers=4, sleeves=2, block="rare")
    read_on_block(5.0, customers=6, sleeves=2, block="common")
    answer = owner[0].post(reverse("glance-month"), {"month": "2026-03"}, follow=True)
    said = words_of(b"".join(answer.streaming_content))
    assert "March 2026" in said
    assert "common" in said
    assert "rare" not in said
    assert "fewer than 5 customers" in said


def test_queries_do_not_grow_with_the_shop(owner: Signed) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            for name in ("glance", "shop-factors"):
                assert owner[0].get(reverse(name)).status_code == 200
        return len(queries)

    shop_with_outcomes(coats=1, share=0.8)
    few = asked()
    shop_with_outcomes(coats=20, share=0.8)
    assert asked() == few


def test_an_offer_is_accepted_used_and_withdrawn_by_the_owner(owner: Signed) -> None:
    client, maud = owner
    shop_with_outcomes(coats=16, share=0.8)
    page = client.get(reverse("shop-factors")).content.decode()
    assert "from now on</button>" in page
    client.post(reverse("shop-factor-accept"), {"rule": "pitch", "split_by": "", "split": ""})
    factor = ShopFactor.objects.get()
    assert factor.share == pytest.approx(0.8, abs=0.06)
    assert factor.low < 0.8 < factor.high
    assert factor.accepted_by == maud
    client.post(reverse("shop-factor-withdraw", args=[factor.pk]))
    factor.refresh_from_db()
    assert factor.withdrawn_by == maud
    assert "by the law" in client.get(reverse("shop-factors")).content.decode()


def test_what_is_not_offered_is_not_accepted(owner: Signed) -> None:
    shop_with_outcomes(coats=16, share=1.0)
    answer = owner[0].post(
        reverse("shop-factor-accept"), {"rule": "pitch", "split_by": "", "split": ""}
    )
    assert answer.status_code == 422
    assert not ShopFactor.objects.exists()


@pytest.mark.django_db
def test_outcomes_that_do_not_count_teach_nothing() -> None:
    shop_with_outcomes(coats=16, share=0.6)
    Outcome.objects.update(why_not_counted="The ticket's line was not ticked as done.")
    assert shop_offers() == []
