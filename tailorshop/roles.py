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

ACCESS: Final[dict[str, frozenset[Role] | str]] = {
    "sign-in": EVERYBODY,
    "sign-out": EVERYBODY,
    **dict.fromkeys(("account_login", "account_logout"), EVERYBODY),
    **dict.fromkeys(("mfa_authenticate", "mfa_login_webauthn"), EVERYBODY),
    "health": EVERYBODY,
    "ready": EVERYBODY,
    "today": STAFF,
    "search": STAFF,
    "calendar-address": STAFF,
    "calendar-feed": EVERYBODY,  # the token in the address is the check
    # what belongs to one's own account
    **dict.fromkeys(OWN, ANYBODY_HERE),
    "fitter-change": FITTING_ROOM,
    # accounts
    "staff-list": ACCOUNTS,
    "staff-new": ACCOUNTS,
    "staff-edit": ACCOUNTS,
    "trail": OWNER,
    # customers and their measures: contact data stays in the fitting room
    "customer-list": FITTING_ROOM,
    "customer-new": FITTING_ROOM,
    "customer": FITTING_ROOM,
    "customer-edit": FITTING_ROOM,
    "figure-note-new": FITTING_ROOM,
    "figure-note-remove": FITTING_ROOM,
    "measures-new": FITTING_ROOM,
    "measures-trend": FITTING_ROOM,
    "measures-plot": FITTING_ROOM,
    "measures": FITTING_ROOM,
    "measures-edit": FITTING_ROOM,
    "carriage-edit": FITTING_ROOM,
    # what the shop learns, and its books at a glance
    **dict.fromkeys(("glance", "glance-plot", "glance-csv", "glance-month"), OWNER),
    "shop-factors": OWNER,
    "shop-factor-accept": OWNER,
    "shop-factor-withdraw": OWNER,
    # orders
    "order-list": FITTING_ROOM,
    "order-new": FITTING_ROOM,
    "order": FITTING_ROOM,
    "order-edit": FITTING_ROOM,
    "order-inlays": FITTING_ROOM,
    # the diary: who is expected and what is promised, for all; planning for the fitting room
    "diary": STAFF,
    **dict.fromkeys(("plan-choose", "plan-new"), FITTING_ROOM),
    **dict.fromkeys(("planned-fitting", "planned-change"), FITTING_ROOM),
    **dict.fromkeys(("planned-cancel", "planned-start"), FITTING_ROOM),
    # fittings
    "fitting-new": FITTING_ROOM,
    "fitting": FITTING_ROOM,
    "fitting-entry": FITTING_ROOM,
    "fitting-entry-remove": FITTING_ROOM,
    "fitting-preview": FITTING_ROOM,
    "fitting-decision": FITTING_ROOM,
    **dict.fromkeys(["fitting-accept-all", "fitting-finding"], FITTING_ROOM),
    **dict.fromkeys(["fitting-undo", "fitting-history"], FITTING_ROOM),
    "fitting-together": FITTING_ROOM,
    "fitting-changes": FITTING_ROOM,
    "fitting-sign": FITTING_ROOM,
    "fitting-ticket": FITTING_ROOM,
    # photographs and what was agreed to
    "photograph-new": FITTING_ROOM,
    "photograph": FITTING_ROOM,
    "photograph-thumb": FITTING_ROOM,
    "photograph-change": FITTING_ROOM,
    "photograph-measure": FITTING_ROOM,
    "photograph-carriage": FITTING_ROOM,
    "photograph-marks": FITTING_ROOM,
    "photograph-mark-remove": FITTING_ROOM,
    "photograph-compare": FITTING_ROOM,
    "fitting-consent": FITTING_ROOM,
    "customer-consent": FITTING_ROOM,
    "photographs-erase": OWNER,
    "customer-erase": OWNER,
    # health, apart from all else; for how long all is kept
    **dict.fromkeys(("health-notes", "health-note-new", "health-note-edit"), FITTING_ROOM),
    **dict.fromkeys(("health-note-delete", "health-consent"), FITTING_ROOM),
    **dict.fromkeys(("what-is-due", "periods", "keep-longer", "measures-erase"), OWNER),
    # in and out
    **dict.fromkeys(("in-and-out", "customer-record"), OWNER),
    **dict.fromkeys(("book-new", "book", "book-next", "book-faults"), OWNER),
    **dict.fromkeys(("record-new", "record", "record-leave"), OWNER),
    # tickets: what the workroom works from
    "ticket-list": STAFF,
    "ticket": STAFF,
    "ticket-code": STAFF,
    "ticket-pdf": STAFF,
    "ticket-line": STAFF,
    "ticket-photograph": STAFF,
    "ticket-reissue": FITTING_ROOM,
    # the bench
    "bench": STAFF,
    "times": OWNER,
    "paper-languages": OWNER,
    "paper-language": OWNER,
    "maker-list": OWNER,
    "maker-new": OWNER,
    "maker-edit": OWNER,
    "print-run-new": STAFF,
    "print-run": STAFF,
    "print-run-next": STAFF,
    "print-run-pdf": STAFF,
    "ticket-ask": STAFF,
    "question-list": FITTING_ROOM,
    "question-answer": FITTING_ROOM,
    # patterns
    "pattern-list": STAFF,
    "pattern": STAFF,
    "pattern-version": STAFF,
    "pattern-print": STAFF,
    "pattern-paper": STAFF,
    "pattern-drawing": STAFF,
    "pattern-try": FITTING_ROOM,
    "pattern-check": STAFF,
    "pattern-draft": FITTING_ROOM,
    "pattern-bring-in": FITTING_ROOM,
    "pattern-photo": FITTING_ROOM,
    "pattern-new": FITTING_ROOM,
    "pattern-branch": FITTING_ROOM,
    "pattern-retire": OWNER,
    # what the shop says otherwise than the book of findings
    **dict.fromkeys(["shop-findings", "shop-finding-new"], OWNER),
    **dict.fromkeys(["shop-finding-edit", "shop-finding-reset"], OWNER),
    "garment-only-new": FITTING_ROOM,
    "garment-only": FITTING_ROOM,
    "customer-patterns": FITTING_ROOM,
    "pattern-start": FITTING_ROOM,
    "pattern-numbers": STAFF,
    "pattern-overlay": STAFF,
    "pattern-overlay-paper": STAFF,
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
