"""What programs speak to, driven by its own description (`spoken_to.yaml`): whatever is said within
it or against it, nothing breaks, and what comes back is of a kind that is described.

Run longer with HOSTILE_EXAMPLES=200 (examples of either sort for each address).
"""

import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import pytest
import schemathesis
import yaml
from django.core.handlers.wsgi import WSGIHandler
from django.core.signals import request_finished, request_started
from django.db import close_old_connections, transaction
from django.db.models import Count
from django.test import Client
from django.utils import timezone
from hypothesis import Phase, given, settings
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.core.failures import FailureGroup
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from fittings.diary.feed import renew
from fittings.fitting_room.catalogue import offered
from fittings.fitting_room.proposals import every_side
from fittings.models import Entry, Errand, ErrandKind, Fitting, PhotographMark
from tailorshop.models import Role, User
from tests.hostile.conftest import signed_in
from tests.hostile.test_forms import at_random

pytestmark = pytest.mark.django_db

DESCRIPTION: Final = Path(__file__).with_name("spoken_to.yaml")
CHECKS: Final[list[Any]] = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
# A fault is told as it was met: making it smaller would take minutes.
plainly: Final = settings(at_random, phases=[Phase.generate])
# Before anything that was sent was looked at.
REFUSED: Final = {400, 403, 404, 405, 412, 413}


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """The shop as programs reach it: what is described, the cookies of whoever asks, and keys that
    there are, by their names in the description."""

    operations: list[Any]
    cookies: dict[str, dict[str, str]]
    there: dict[str, Any]


@pytest.fixture(autouse=True)
def _one_connection() -> Iterator[None]:
    """Requests share the connection of the test, in whose transaction the shop stands; Django's own
    test client does the same."""
    for signal in (request_started, request_finished):
        signal.disconnect(close_old_connections)
    yield
    for signal in (request_started, request_finished):
        signal.connect(close_old_connections)


@pytest.fixture
def spoken(owner_here: Client) -> Spoken:
    there, told = _there(), yaml.safe_load(DESCRIPTION.read_text())
    for name in ("finding", "key"):
        told["components"]["schemas"][name] = {"enum": there[name]}
    described: Any = schemathesis.openapi.from_dict(told)
    described.app = WSGIHandler()
    return Spoken(
        operations=[one.ok() for one in described.get_all_operations()],
        cookies={"nobody": {}, "fitter": _cookies(Role.FITTER), "owner": _cookies(Role.OWNER)},
        there=there,
    )


def _there() -> dict[str, Any]:
    many = Fitting.objects.annotate(many=Count("entries")).order_by("-many")
    fitting = many.filter(signed_at=None)[0]
    mark = PhotographMark.objects.order_by("pk")[0]
    fitter, owner = (User.objects.filter(role=role)[0] for role in (Role.FITTER, Role.OWNER))
    at = timezone.now()
    asked = {"asked_by": owner, "asked_at": at, "beat_at": at, "said": {"year": 2026, "month": 3}}
    return {
        "fitting": fitting.pk,
        "entry": str(Entry.objects.filter(fitting=fitting)[0].pk),
        "photograph": str(mark.photograph_id),
        "mark": str(mark.pk),
        "errand": str(Errand.objects.create(kind=ErrandKind.MONTH, subject="2026-03", **asked).pk),
        "token": renew(fitter, at=at),
        "Made-By": str(fitter.pk),
        "finding": [row.id for row in offered(fitting.order.garment)],
        "key": [one.document["key"] for side in every_side(fitting) for one in side.all_proposed],
    }


def _cookies(role: Role) -> dict[str, str]:
    return {"sessionid": signed_in(role).cookies["sessionid"].value}


def answer_to(spoken: Spoken, case: Any) -> int:
    """The status, once the answer was looked at; whatever it changed is undone. Sent with the
    cookies and the token that a page of the shop would send."""
    token = secrets.token_hex(16)
    cookies = spoken.cookies[case.operation.definition.raw["x-by"]] | {"csrftoken": token}
    with transaction.atomic():
        try:
            answer = case.call_and_validate(
                checks=CHECKS,
                cookies=cookies,
                headers={"X-CSRFToken": token},
                environ_base={"REMOTE_ADDR": "127.0.0.1"},
            )
        finally:
            transaction.set_rollback(True)
    return int(answer.status_code)


def tried(spoken: Spoken, operation: Any) -> tuple[set[int], str]:
    """What was answered, and what broke (empty: nothing): of keys that there are, with what is sent
    as it is described and as it is not; where nothing is sent, of keys that are made up."""
    known = {
        where: {one.name: spoken.there[one.name] for one in named if one.name in spoken.there}
        for where, named in (
            ("path_parameters", operation.path_parameters),
            ("headers", operation.headers),
        )
    }
    sends = operation.body or operation.query
    against = (GenerationMode.NEGATIVE, known) if sends else (GenerationMode.POSITIVE, {})
    sorts = [(GenerationMode.POSITIVE, known), against]
    answers, faults = set[int](), []
    for mode, keys in sorts:

        @plainly
        @given(case=operation.as_strategy(generation_mode=mode, **keys))
        def asked(case: Any) -> None:
            answers.add(answer_to(spoken, case))

        try:
            asked()
        except (Exception, FailureGroup) as fault:
            told = [*getattr(fault, "exceptions", []), *getattr(fault, "__notes__", [])]
            faults.append(f"{operation.label}, {mode.value}: {fault} {told!s:.700}")
    return answers, "\n".join(faults)


def test_programs_are_answered_as_described_whatever_they_say(spoken: Spoken) -> None:
    found = {one.label: tried(spoken, one) for one in spoken.operations}
    faults = [fault for _, fault in found.values() if fault]
    assert not faults, "\n\n".join(faults)
    refused = [label for label, (answers, _) in found.items() if answers <= REFUSED]
    assert not refused, "none of what was sent there was ever looked at"
