"""The forms and addresses that pages really offer, found by following every link from a start."""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import urldefrag, urljoin, urlsplit

from django.test import Client
from django.urls import Resolver404, resolve

# Of pages and forms with the same name so many are read: the fourth customer is like the third.
PAGES_OF_A_NAME = 3


@dataclass(slots=True, kw_only=True)
class Form:
    """A form as a page offers it: where it goes, how, and what stands in it."""

    name: str  # of the address
    at: str  # the page that it stands on
    action: str
    method: str
    fields: list[tuple[str, str]] = field(default_factory=list)
    files: list[str] = field(default_factory=list)

    @property
    def kind(self) -> tuple[object, ...]:
        return self.name, self.method, tuple(sorted({key for key, _ in self.fields}))


class _Page(HTMLParser):
    def __init__(self, at: str) -> None:
        super().__init__()
        self.at = at
        self.links: list[str] = []
        self.forms: dict[str, Form] = {}
        self._open: str | None = None
        self._select: str | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        had = {key: value or "" for key, value in attrs}
        for key in ("href", "src", "hx-get", "data-src"):
            if key in had and tag != "link":
                self.links.append(urljoin(self.at, had[key]))
        if tag == "form":
            self._open = had.get("id") or f"form-{len(self.forms)}"
            action = urljoin(self.at, had.get("action") or had.get("hx-post") or self.at)
            method = "post" if "hx-post" in had else had.get("method", "get").lower()
            self.forms[self._open] = Form(
                name=_name(action), at=self.at, action=action, method=method
            )
        elif "hx-post" in had:
            action = urljoin(self.at, had["hx-post"])
            self.forms[f"touch-{len(self.forms)}"] = Form(
                name=_name(action), at=self.at, action=action, method="post"
            )
        self._control(tag, had)

    def _control(self, tag: str, had: dict[str, str]) -> None:
        form = self.forms.get(had.get("form") or self._open or "")
        if tag == "option" and self._select and (form := self.forms.get(self._open or "")):
            form.fields.append((self._select, had.get("value", "")))
        if form is None or not had.get("name"):
            return
        if tag == "select":
            self._select = had["name"]
        elif tag in {"input", "textarea", "button"}:
            if had.get("type") == "file":
                form.files.append(had["name"])
            else:
                form.fields.append((had["name"], had.get("value", "")))

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._open = None
        elif tag == "select":
            self._select = None


def _name(address: str) -> str:
    try:
        return resolve(urlsplit(address).path).url_name or ""
    except Resolver404:
        return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What came of asking for an address."""

    name: str
    status: int
    headers: Mapping[str, str]
    text: str  # empty for what is no page


def found(client: Client, starts: Iterable[str]) -> tuple[dict[str, Seen], list[Form]]:
    """What every address answered that a link leads to; and the forms on these pages."""
    waiting, seen = deque(starts), set[str]()
    counted: Counter[str] = Counter()
    pages: dict[str, Seen] = {}
    forms: dict[tuple[object, ...], Form] = {}
    while waiting:
        at = urldefrag(waiting.popleft())[0]
        name = _name(at)
        key = f"{name}?{sorted(p.split('=')[0] for p in urlsplit(at).query.split('&'))}"
        if at in seen or urlsplit(at).netloc or not name or counted[key] >= PAGES_OF_A_NAME:
            continue
        seen.add(at)
        counted[key] += 1
        answer = client.get(at)
        is_page = answer.headers.get("Content-Type", "").startswith("text/html")
        text = answer.content.decode() if is_page else ""
        pages[at] = Seen(
            name=name, status=answer.status_code, headers=dict(answer.headers), text=text
        )
        page = _Page(at)
        page.feed(text)
        waiting.extend(page.links)
        waiting.extend(f.action for f in page.forms.values())
        forms |= {f.kind: f for f in page.forms.values() if f.name and f.kind not in forms}
    return pages, list(forms.values())
