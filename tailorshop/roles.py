"""Who may open which page: one table, enforced at one place, closed by default.

A page is named by its address's name. A name that is not in the table opens for nobody, so a new
page must be written down here before it can be used. Somebody signed in who may not open a page
gets the answer of a page that does not exist.
"""

from collections.abc import Callable
from typing import Any, Final

from django.contrib.auth.views import redirect_to_login
from django.http import Http404, HttpRequest, HttpResponseBase

from tailorshop.models import Role

EVERYBODY: Final = "everybody"
STAFF: Final = frozenset({Role.FITTER, Role.WORKROOM, Role.OWNER})
FITTING_ROOM: Final = frozenset({Role.FITTER, Role.OWNER})
OWNER: Final = frozenset({Role.OWNER})
# The keeper of the installation: accounts, not customers.
ACCOUNTS: Final = frozenset({Role.OWNER, Role.KEEPER})
ANYBODY_HERE: Final = STAFF | {Role.KEEPER}

# Pages of one's own account: closed to somebody who is only named by a code on a tablet.
OWN: Final = (
    "own-settings",
    "quick-code",
    "account_change_password",
    "account_reauthenticate",
    "usersessions_list",
    "mfa_index",
    "mfa_reauthenticate",
    "mfa_reauthenticate_webauthn",
    "mfa_activate_totp",
    "mfa_deactivate_totp",
    "mfa_view_recovery_codes",
    "mfa_generate_recovery_codes",
    "mfa_list_webauthn",
    "mfa_add_webauthn",
    "mfa_remove_webauthn",
)

# What one may do, who may, and the names of the addresses by which it is done. README tells the
# same rows (a test holds them together).
TABLE: Final[tuple[tuple[str, frozenset[Role] | str, tuple[str, ...]], ...]] = (
    (
        "sign in and out, whether the shop is well",
        EVERYBODY,
        (
            *("sign-in", "sign-out", "account_login", "account_logout"),
            *("mfa_authenticate", "mfa_login_webauthn", "health", "ready"),
            "calendar-feed",  # the token in the address is the check
        ),
    ),
    ("one's own password, second factor, sessions", ANYBODY_HERE, OWN),
    ("today, search, one's own calendar address", STAFF, ("today", "search", "calendar-address")),
    ("accounts: make, change, end", ACCOUNTS, ("staff-list", "staff-new", "staff-edit")),
    ("trail: who looked, who changed what", OWNER, ("trail",)),
    # Contact data stays in the fitting room.
    (
        "customers: contact, figure, measures, arms",
        FITTING_ROOM,
        (
            *("customer-list", "customer-new", "customer", "customer-edit", "customer-patterns"),
            *("figure-note-new", "figure-note-remove", "carriage-edit", "customer-consent"),
            *("measures-new", "measures", "measures-edit", "measures-trend", "measures-plot"),
        ),
    ),
    (
        "notes of health",
        FITTING_ROOM,
        (
            *("health-notes", "health-note-new", "health-note-edit"),
            *("health-note-delete", "health-consent"),
        ),
    ),
    (
        "erase, keep longer, carry out and in",
        OWNER,
        (
            *("customer-erase", "photographs-erase", "measures-erase"),
            *("what-is-due", "periods", "keep-longer", "in-and-out", "customer-record"),
            *("book-new", "book", "book-next", "book-faults"),
            *("record-new", "record", "record-leave"),
        ),
    ),
    (
        "long work asked for: how far it is, its file",
        OWNER,
        ("errand", "errand-state", "errand-go-on", "errand-file"),
    ),
    (
        "orders and their inlays",
        FITTING_ROOM,
        (
            *("order-list", "order-new", "order", "order-edit", "order-inlays"),
            *("garment-only-new", "garment-only"),
        ),
    ),
    ("diary: read (names, no contact data)", STAFF, ("diary",)),
    (
        "diary: plan, change, cancel, start a fitting",
        FITTING_ROOM,
        (
            *("plan-choose", "plan-new", "planned-fitting", "planned-change"),
            *("planned-cancel", "planned-start"),
        ),
    ),
    (
        "fittings: log, decide, sign, issue the ticket",
        FITTING_ROOM,
        (
            *("fitting-new", "fitting", "fitting-entry", "fitting-entry-remove"),
            *("fitting-preview", "fitting-decision", "fitting-accept-all", "fitting-finding"),
            *("fitting-undo", "fitting-history", "fitting-together", "fitting-changes"),
            *("fitting-sign", "fitting-ticket", "fitting-consent", "fitter-change"),
        ),
    ),
    (
        "photographs: take, measure, mark, compare",
        FITTING_ROOM,
        (
            *("photograph-new", "photograph", "photograph-thumb", "photograph-change"),
            *("photograph-measure", "photograph-carriage", "photograph-marks"),
            *("photograph-mark-remove", "photograph-compare"),
        ),
    ),
    (
        "tickets: read, print, tick off, check, ask",
        STAFF,
        (
            *("ticket-list", "ticket", "ticket-code", "ticket-pdf", "ticket-line", "ticket-ask"),
            *("ticket-photograph", "bench", "print-run-new", "print-run", "print-run-next"),
            "print-run-pdf",
        ),
    ),
    (
        "tickets: reissue, answer the workroom",
        FITTING_ROOM,
        ("ticket-reissue", "question-list", "question-answer"),
    ),
    (
        "makers and their papers, minutes of each alteration",
        OWNER,
        (
            *("times", "paper-languages", "paper-language"),
            *("maker-list", "maker-new", "maker-edit"),
        ),
    ),
    (
        "patterns: read, walk, print, hand over",
        STAFF,
        (
            *("pattern-list", "pattern", "pattern-version", "pattern-check", "pattern-print"),
            *("pattern-paper", "pattern-drawing", "pattern-numbers"),
            *("pattern-overlay", "pattern-overlay-paper"),
        ),
    ),
    (
        "patterns: make, draft, try, bring in, branch",
        FITTING_ROOM,
        (
            *("pattern-try", "pattern-draft", "pattern-bring-in", "pattern-photo"),
            *("pattern-new", "pattern-branch", "pattern-start"),
        ),
    ),
    ("patterns: retire", OWNER, ("pattern-retire",)),
    (
        "the shop at a glance, its own shares and findings",
        OWNER,
        (
            *("glance", "glance-plot", "glance-csv", "glance-month"),
            *("shop-factors", "shop-factor-accept", "shop-factor-withdraw"),
            *("shop-findings", "shop-finding-new", "shop-finding-edit", "shop-finding-reset"),
        ),
    ),
)
ACCESS: Final[dict[str, frozenset[Role] | str]] = {
    name: who for _, who, names in TABLE for name in names
}


def role_of(user: Any) -> Role | None:
    return Role(user.role) if user.is_authenticated and user.is_active else None


def may_open(role: Role | None, name: str, *, by_code: bool = False) -> bool:
    """Whether someone of this role (None: a stranger) may open the page of this name.

    `by_code`: only a quick code said who it is, so the own account stays closed.
    """
    allowed = ACCESS.get(name, frozenset())
    if by_code and name in (*OWN, "calendar-address"):
        return False
    return allowed == EVERYBODY or (role is not None and role in allowed)


def who_may() -> list[tuple[str, list[bool]]]:
    """The table in words: what may be done, and for each role in its order whether it may."""
    return [(words, [who == EVERYBODY or role in who for role in Role]) for words, who, _ in TABLE]


def is_by_code(user: Any) -> bool:
    """Whether somebody else's sign-in stands behind this name."""
    return getattr(user, "signed_in_by", None) is not None


class RoleMiddleware:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        name = request.resolver_match.url_name if request.resolver_match else None
        role = role_of(request.user)
        if name and may_open(role, name, by_code=is_by_code(request.user)):
            return None
        if role is None and name in ACCESS:
            return redirect_to_login(request.get_full_path())
        raise Http404("There is no such page for you.")


class _May:
    """`{% if may.customer_edit %}` in a template: may this person open that page?"""

    def __init__(self, role: Role | None, *, by_code: bool = False) -> None:
        self.role, self.by_code = role, by_code

    def __getitem__(self, name: str) -> bool:
        return may_open(self.role, name.replace("_", "-"), by_code=self.by_code)


def may(request: HttpRequest) -> dict[str, _May]:
    user = getattr(request, "user", None)
    role = role_of(user) if user is not None else None
    return {"may": _May(role, by_code=is_by_code(user))}
