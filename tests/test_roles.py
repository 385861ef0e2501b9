"""Every address with every role and with nobody: who gets in, who gets a page that is not there."""

import datetime as dt
import uuid
from typing import Any

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils import timezone

from fittings.diary.feed import renew
from fittings.models import (
    CustomerBook,
    Entry,
    GarmentOnly,
    HealthNote,
    Maker,
    PlannedFitting,
    PrintRun,
    Question,
    ShopFactor,
    TicketLine,
)
from tailorshop.guards import METHODS
from tailorshop.models import Role
from tailorshop.roles import ACCESS
from tests.factories import (
    FigureNoteFactory,
    FittingFactory,
    MeasurementSetFactory,
    OrderFactory,
    PatternVersionFactory,
    TicketFactory,
    UserFactory,
)
from tests.photographs.pictures import photographed

# Said once more, apart from the table: what the workroom may open, and what only the owner may.
OPEN_TO_ALL = {"sign-in", "sign-out", "health", "ready", "account_login", "account_logout"}
# In the middle of signing in; before its beginning they lead there.
HALF_WAY = {"mfa_authenticate", "mfa_login_webauthn"}
OPEN_TO_ALL |= HALF_WAY | {"calendar-feed"}
OWN = {"own-settings", "quick-code", "account_change_password", "account_reauthenticate"}
OWN |= {"usersessions_list", "mfa_index", "mfa_reauthenticate", "mfa_reauthenticate_webauthn"}
OWN |= {"mfa_activate_totp", "mfa_deactivate_totp", "mfa_view_recovery_codes"}
OWN |= {"mfa_generate_recovery_codes", "mfa_list_webauthn", "mfa_add_webauthn"}
OWN |= {"mfa_remove_webauthn"}
WORKROOM_TOO = {
    "today",
    "search",
    "calendar-address",
    "ticket-list",
    "ticket",
    "ticket-code",
    "ticket-pdf",
    "ticket-line",
    "ticket-photograph",
    "ticket-ask",
    "bench",
    "print-run-new",
    "print-run",
    "print-run-next",
    "print-run-pdf",
    "pattern-list",
    "pattern",
    "pattern-version",
    "pattern-check",
    "pattern-print",
    "pattern-paper",
    "pattern-drawing",
    "pattern-numbers",
    "pattern-overlay",
    "pattern-overlay-paper",
}
OWNER_ONLY = {
    "photographs-erase",
    "shop-factors",
    "shop-factor-accept",
    "shop-factor-withdraw",
} | {
    "pattern-retire",
    "staff-list",
    "staff-new",
    "staff-edit",
}
OWNER_ONLY |= {"glance", "glance-plot", "glance-csv", "glance-month"}
OWNER_ONLY |= {"shop-findings", "shop-finding-new", "shop-finding-edit", "shop-finding-reset"}
OWNER_ONLY |= {"trail", "errand", "errand-state", "errand-go-on", "errand-file"}
OWNER_ONLY |= {"times", "maker-list", "maker-new", "maker-edit"}
OWNER_ONLY |= {"paper-languages", "paper-language"}
OWNER_ONLY |= {"customer-erase"}
WORKROOM_TOO |= OWN
KEEPERS = OWN | {"staff-list", "staff-new", "staff-edit"}
WORKROOM_TOO |= {"diary"}
OWNER_ONLY |= {"customer-erase", "customer-record", "in-and-out"}
OWNER_ONLY |= {"book-new", "book", "book-next", "book-faults"}
OWNER_ONLY |= {"what-is-due", "periods", "keep-longer", "measures-erase"}
OWNER_ONLY |= {"record-new", "record", "record-leave"}
REFUSAL = "There is no such page for you."


def named(patterns: list[URLPattern | URLResolver]) -> set[str]:
    found: set[str] = set()
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            found |= named(pattern.url_patterns)
        elif pattern.name:
            found.add(pattern.name)
    return found


@pytest.fixture
def addresses(db: None) -> dict[str, str]:
    """An address of something that is there, for every name."""
    version = PatternVersionFactory()
    order = OrderFactory(pattern_version=version)
    fitting = FittingFactory(order=order)
    ticket = TicketFactory(fitting=fitting)
    line = TicketLine.objects.create(ticket=ticket, position=1, content={})
    asked = Question.objects.create(
        line=line, asked_by=ticket.issued_by, asked_at=timezone.now(), words="Which edge?"
    )
    book = CustomerBook.objects.create(
        name="old book", made_at=timezone.now(), made_by=ticket.issued_by, delimiter=";"
    )
    run = PrintRun.objects.create(made_at=timezone.now(), made_by=ticket.issued_by)
    entry = Entry.objects.create(
        id=uuid.uuid4(),
        fitting=fitting,
        kind="note",
        data={"text": "a note"},
        made_at=timezone.now(),
        made_by=fitting.fitter,
    )
    flag = GarmentOnly.objects.create(
        order=order, what="let out", flagged_at=timezone.now(), flagged_by=fitting.fitter
    )
    planned = PlannedFitting.objects.create(
        order=order, starts_at=timezone.now(), with_whom=fitting.fitter
    )
    of_customer, of_order, of_fitting = (order.customer_id,), (order.pk,), (fitting.pk,)
    paper = (ticket.number, ticket.revision)
    of_version = (version.pattern_id, version.number)
    pictured = (photographed(fitting, fitting.fitter).pk,)
    learnt = ShopFactor.objects.create(
        rule="pitch",
        **dict.fromkeys(["share", "measured", "low", "high"], 0.9),
        tau=0.1,
        coats=9,
        accepted_at=timezone.now(),
        accepted_by=fitting.fitter,
    )
    note = FigureNoteFactory(customer=order.customer)
    type(order.customer).objects.update(health_consent_on=dt.date(2026, 1, 5))
    heeded = HealthNote.objects.create(
        customer=order.customer,
        words="a pacemaker",
        noted_on=dt.date(2026, 1, 5),
        noted_by=fitting.fitter,
    )
    somebody = (fitting.fitter_id,)
    taken = MeasurementSetFactory(customer=order.customer)
    given: dict[str, tuple[Any, ...]] = {
        **dict.fromkeys(["customer", "customer-edit", "figure-note-new"], of_customer),
        **dict.fromkeys(["measures-new", "carriage-edit", "order-new"], of_customer),
        "figure-note-remove": (*of_customer, note.pk),
        **dict.fromkeys(["measures", "measures-edit"], (taken.pk,)),
        **dict.fromkeys(["measures-trend", "measures-plot"], of_customer),
        **dict.fromkeys(["order", "order-edit", "order-inlays"], of_order),
        **dict.fromkeys(["fitting-new", "pattern-new"], of_order),
        **dict.fromkeys(["fitting", "fitting-entry", "fitting-decision"], of_fitting),
        **dict.fromkeys(["fitting-sign", "fitting-ticket", "fitting-together"], of_fitting),
        "fitting-preview": of_fitting,
        "fitting-changes": of_fitting,
        **dict.fromkeys(["fitting-accept-all", "fitting-finding"], of_fitting),
        **dict.fromkeys(["fitting-undo", "fitting-history"], of_fitting),
        **dict.fromkeys(["shop-finding-edit", "shop-finding-reset"], ("back_short",)),
        "fitting-entry-remove": (*of_fitting, entry.pk),
        **dict.fromkeys(["photograph", "photograph-thumb", "photograph-change"], pictured),
        **dict.fromkeys(["photograph-measure", "photograph-carriage"], pictured),
        **dict.fromkeys(["photograph-marks", "photograph-compare"], pictured),
        "photograph-mark-remove": (*pictured, uuid.uuid4()),
        **dict.fromkeys(["photograph-new", "fitting-consent"], of_fitting),
        **dict.fromkeys(["customer-consent", "photographs-erase"], of_customer),
        **dict.fromkeys(["health-notes", "health-note-new", "health-consent"], of_customer),
        **dict.fromkeys(["health-note-edit", "health-note-delete"], (heeded.pk,)),
        "measures-erase": of_customer,
        "keep-longer": (*of_customer, "contact"),
        **dict.fromkeys(["ticket", "ticket-pdf", "ticket-code", "ticket-reissue"], paper),
        **dict.fromkeys(["ticket-line", "ticket-ask"], (*paper, 1)),
        "ticket-photograph": (*paper, 1, "small"),
        **dict.fromkeys(["customer-erase", "customer-record"], of_customer),
        **dict.fromkeys(["book", "book-next", "book-faults"], (book.pk,)),
        **dict.fromkeys(["record", "record-leave", "errand", "errand-state"], (uuid.uuid4(),)),
        **dict.fromkeys(["errand-go-on", "errand-file"], (uuid.uuid4(),)),
        "question-answer": (asked.pk,),
        "calendar-feed": (renew(fitting.fitter, at=timezone.now()),),
        "paper-language": ("it",),
        "maker-edit": (Maker.objects.create(name="Outside hand").pk,),
        **dict.fromkeys(["print-run", "print-run-next", "print-run-pdf"], (run.pk,)),
        "staff-edit": somebody,
        "mfa_remove_webauthn": (1,),
        "shop-factor-withdraw": (learnt.pk,),
        **dict.fromkeys(["glance-plot", "glance-csv"], ("in-hand",)),
        **dict.fromkeys(["pattern-version", "pattern-branch"], of_version),
        **dict.fromkeys(["pattern-print", "pattern-paper", "pattern-drawing"], of_version),
        **dict.fromkeys(["pattern-check", "pattern-try", "pattern-draft"], of_version),
        "garment-only-new": of_order,
        "plan-new": of_order,
        **dict.fromkeys(["planned-fitting", "planned-change"], (planned.pk,)),
        **dict.fromkeys(["planned-cancel", "planned-start"], (planned.pk,)),
        "customer-patterns": of_customer,
        "pattern-start": (*of_customer, version.pk),
        "pattern-numbers": (version.pattern_id,),
        "garment-only": (flag.pk,),
        **dict.fromkeys(["pattern-overlay", "pattern-overlay-paper"], of_version),
        **dict.fromkeys(["pattern", "pattern-retire"], (version.pattern_id,)),
        **dict.fromkeys(["pattern-bring-in", "pattern-photo"], (version.pattern_id,)),
    }
    return {name: reverse(name, args=given.get(name, ())) for name in ACCESS}


def is_refused(client: Client, address: str) -> bool:
    return all(refuses(client, method, address) for method in METHODS)


def refuses(client: Client, method: str, address: str) -> bool:
    """Whether the page is not there, for this method, because of who asks."""
    answer = client.generic(method, address)
    if answer.status_code != 404:
        return False
    return method == "HEAD" or answer.context["exception"] == REFUSAL


def test_every_address_stands_in_the_table_and_the_table_names_no_other() -> None:
    assert named(get_resolver().url_patterns) == set(ACCESS)


def test_the_workroom_opens_tickets_and_patterns_and_nothing_of_the_customers(
    addresses: dict[str, str], workroom: tuple[Client, Any]
) -> None:
    opened = {name for name, at in addresses.items() if not is_refused(workroom[0], at)}
    assert opened == OPEN_TO_ALL | WORKROOM_TOO


def test_a_fitter_opens_everything_but_what_is_the_owners(
    addresses: dict[str, str], fitter: tuple[Client, Any]
) -> None:
    refused = {name for name, at in addresses.items() if is_refused(fitter[0], at)}
    assert refused == OWNER_ONLY


def test_the_keeper_opens_accounts_and_nothing_of_customers_orders_or_patterns(
    addresses: dict[str, str], keeper: tuple[Client, Any]
) -> None:
    opened = {name for name, at in addresses.items() if not is_refused(keeper[0], at)}
    assert opened == OPEN_TO_ALL | KEEPERS


def test_the_owner_opens_everything(addresses: dict[str, str], owner: tuple[Client, Any]) -> None:
    assert [name for name, at in addresses.items() if is_refused(owner[0], at)] == []


def test_nobody_signed_in_is_sent_to_sign_in_and_back(
    addresses: dict[str, str], client: Client
) -> None:
    for name, at in addresses.items():
        for method in METHODS if name not in OPEN_TO_ALL else ["GET"]:
            answer = client.generic(method, at)
            if name in HALF_WAY:
                assert answer["Location"] == reverse("sign-in"), name
            elif name in OPEN_TO_ALL:
                assert answer.status_code in {200, 405}, name
            else:
                assert answer.status_code == 302, name
                assert answer["Location"].startswith(reverse("sign-in") + "?next="), name


def test_somebody_no_longer_employed_is_nobody(addresses: dict[str, str], client: Client) -> None:
    user = UserFactory(role=Role.OWNER)
    client.force_login(user)
    user.is_active = False
    user.save()
    assert client.get(addresses["customer-list"]).status_code == 302


def test_an_unknown_address_is_not_there_for_anybody(
    client: Client, owner: tuple[Client, Any]
) -> None:
    assert client.get("/nothing-here/").status_code == 404
    assert owner[0].get("/nothing-here/").status_code == 404
