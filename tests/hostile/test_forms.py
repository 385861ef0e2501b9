"""Every form of the shop, filled in by somebody who means harm: answered in words, never broken.

Run longer with HOSTILE_EXAMPLES=200 (examples for each form).
"""

import os
from traceback import format_exception_only, walk_tb
from typing import Any, Final
from urllib.parse import quote_plus

import pytest
from django.db import transaction
from django.test import Client
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tailorshop.models import Role
from tests.hostile.conftest import Shop, signed_in, walked
from tests.hostile.pages import Form
from tests.hostile.values import SCRIPT, words

pytestmark = pytest.mark.django_db

EXAMPLES: Final = int(os.environ.get("HOSTILE_EXAMPLES", "4"))
ANSWERS: Final = {200, 204, 302, 303, 304, 400, 403, 404, 405, 409, 412, 413, 422}
TYPED: Final = "application/x-www-form-urlencoded"
Pairs = list[tuple[str, str]]

# No derived seed: a fault that was seen is seen again.
at_random = settings(
    max_examples=EXAMPLES,
    derandomize=True,
    deadline=None,
    database=None,
    suppress_health_check=list(HealthCheck),
)


def encoded(pairs: Pairs) -> str:
    """As a form is sent; half characters too, which a browser would not send."""
    return "&".join(
        "=".join(quote_plus(part.encode("utf-8", "surrogatepass")) for part in pair)
        for pair in pairs
    )


@st.composite
def filled(draw: Any, form: Form) -> Pairs:
    """The form as its page offers it, with one to four of its fields spoiled, lost or doubled."""
    offered: dict[str, list[str]] = {}
    for key, value in form.fields:
        offered.setdefault(key, []).append(value)
    pairs = [(key, draw(st.sampled_from(values))) for key, values in offered.items()]
    names = [*offered, "identity", "over", "version", "seen", "next", "side", "pk"]
    for _ in range(draw(st.integers(1, 4))):
        key = draw(st.sampled_from(names))
        how = draw(st.sampled_from(["spoil", "spoil", "spoil", "lose", "double"]))
        if how != "double":
            pairs = [pair for pair in pairs if pair[0] != key]
        if how != "lose":
            pairs.append((key, draw(words)))
    return pairs


def sent(shop: Shop, form: Form, pairs: Pairs, *, by_htmx: bool) -> Any:
    """The answer; whatever it changed is undone, after the page was looked at once more."""
    headers = {"HX-Request": "true"} if by_htmx else {}
    with transaction.atomic():
        try:
            if form.method == "post":
                answer = shop.client.post(
                    form.action, encoded(pairs), content_type=TYPED, headers=headers
                )
            else:
                answer = shop.client.get(f"{form.action}?{encoded(pairs)}", headers=headers)
            look(answer)
            if form.method == "post" and answer.status_code in {200, 302, 303}:
                look(shop.client.get(form.at))
                if answer.get("Location", "").startswith("/"):
                    look(shop.client.get(answer["Location"]))
        finally:
            transaction.set_rollback(True)
    return answer


def look(answer: Any) -> None:
    assert answer.status_code in ANSWERS, answer.status_code
    if answer.get("Content-Type", "").startswith("text/html") and not answer.streaming:
        assert SCRIPT not in answer.content.decode()
    assert not answer.get("Location", "").startswith(("//", "http"))


def fault_of(shop: Shop, form: Form) -> Exception | None:
    """What broke when this form was filled in at random, made as small as it can be."""

    @at_random
    @given(pairs=filled(form), by_htmx=st.booleans())
    def tried(pairs: Pairs, by_htmx: bool) -> None:
        sent(shop, form, pairs, by_htmx=by_htmx)

    try:
        tried()
    except Exception as fault:
        return fault
    return None


def test_every_form_answers_whatever_is_put_into_it(shop: Shop) -> None:
    assert not faults_of(shop)


@pytest.mark.parametrize("role", [Role.WORKROOM, Role.KEEPER, None])
def test_the_forms_of_others_and_of_a_stranger_answer_too(shop: Shop, role: Role | None) -> None:
    theirs = walked(Client() if role is None else signed_in(role))
    assert theirs.forms
    assert not faults_of(theirs)


def faults_of(shop: Shop) -> str:
    """What broke and where, for every form that the walk met; empty when nothing did."""
    faults = {
        told(fault): f"{form.method} {form.action} {getattr(fault, '__notes__', '')!s:.700}"
        for form in shop.forms
        # signing out ends the walk
        if form.name != "sign-out" and (fault := fault_of(shop, form))
    }
    return "\n\n".join(f"{what}\n{where}" for what, where in faults.items())


def told(fault: Exception) -> str:
    """What broke and where in our own files."""
    inner = fault.exceptions[0] if isinstance(fault, ExceptionGroup) else fault
    ours = [
        f"{frame.f_code.co_filename.split('/')[-1]}:{line}"
        for frame, line in walk_tb(inner.__traceback__)
        if "site-packages" not in frame.f_code.co_filename
    ]
    return f"{format_exception_only(inner)[-1][:200].strip()} {' > '.join(ours[-4:])}"
