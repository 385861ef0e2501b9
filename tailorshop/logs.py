"""What is written down about the running of the shop: never whom it is about.

A line names the page by the name of its address, never the path or what was searched for; the
person signed in by number; a fault by its class and the places it came through, never by its words,
in which databases quote what was typed. Words of other libraries come as their template,
without what would be filled in. So nothing typed into the shop reaches the logs.
"""

from __future__ import annotations

import json
import logging
import logging.config
import re
import time
import traceback
import uuid
from collections.abc import Callable, Iterator, Mapping
from contextvars import ContextVar
from datetime import UTC, datetime
from typing import Any, Final

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.db.utils import OperationalError
from django.http import HttpRequest, HttpResponseBase

FROM_FRONT: Final = "X-Request-ID"
_IDENTITY: Final = re.compile(r"[0-9a-f]{32}")
_request: ContextVar[str] = ContextVar("request", default="")
_requests = logging.getLogger("tailorshop.requests")

_METHODS: Final = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
# Asked every few seconds by machines: only worth a line when something is wrong.
_QUIET: Final = frozenset({"health", "ready"})
# Who fills templates in, so that the template alone says nothing about anybody.
_TEMPLATES: Final = ("django", "tailorshop", "fittings", "patterns", "gunicorn", "weasyprint")
# Whose messages quote the request: the host it asked for, the name of a file.
_QUOTES: Final = "django.security."
# Their words are about the installation, not about what was typed.
_SPOKEN: Final = (ImproperlyConfigured, OperationalError, ImportError)


class RequestLogMiddleware:
    """One line for each request; its identity goes out with the answer, to be quoted."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        identity = _identity(request)
        token, began = _request.set(identity), time.perf_counter()
        try:
            response = self.get_response(request)
            said = _said_of(request, response, began)
            _requests.log(_level(said), "request", extra={"said": said})
        finally:
            _request.reset(token)
        response[FROM_FRONT] = identity
        return response


def _identity(request: HttpRequest) -> str:
    """The front server's, where we trust one; else our own."""
    given = request.headers.get(FROM_FRONT, "") if settings.SECURE_PROXY_SSL_HEADER else ""
    return given if _IDENTITY.fullmatch(given) else uuid.uuid4().hex


def _said_of(request: HttpRequest, response: HttpResponseBase, began: float) -> dict[str, Any]:
    match = request.resolver_match
    return {
        "method": request.method if request.method in _METHODS else "other",
        "page": match.url_name if match else None,
        "status": response.status_code,
        "ms": round((time.perf_counter() - began) * 1000),
        # Who was looked up for the request already: this never asks the database.
        "user": getattr(getattr(request, "_cached_user", None), "pk", None),
    }


def _level(said: Mapping[str, Any]) -> int:
    if said["status"] >= 500:
        return logging.ERROR
    return logging.DEBUG if said["page"] in _QUIET else logging.INFO


def write(message: str, *, level: int = logging.INFO, **said: object) -> None:
    """A line of our own; `said` must hold numbers, names of things and identities only."""
    logging.getLogger("tailorshop").log(level, message, extra={"said": said})


def said_by(record: logging.LogRecord) -> dict[str, Any]:
    """What may be written down of a record, in the order of the line."""
    line: dict[str, Any] = {
        "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
        "level": record.levelname.lower(),
        "logger": record.name,
        "message": _message(record),
    }
    if _request.get():
        line["request"] = _request.get()
    said: Mapping[str, object] = getattr(record, "said", {})
    line |= said
    if record.exc_info and record.exc_info[1]:
        line["faults"] = [_fault(one) for one in _chain(record.exc_info[1])]
    return line


def _message(record: logging.LogRecord) -> str:
    """The template; filled in only where nothing but numbers goes into it."""
    if not record.name.split(".")[0].startswith(_TEMPLATES) or record.name.startswith(_QUOTES):
        return f"at {record.module}:{record.lineno}"
    numbers = isinstance(record.args, tuple) and all(isinstance(one, int) for one in record.args)
    return record.getMessage() if numbers else str(record.msg)


def _chain(fault: BaseException) -> Iterator[BaseException]:
    """The fault and what it came from, the last first; ten at most."""
    one: BaseException | None = fault
    for _ in range(10):
        if one is None:
            return
        yield one
        one = one.__cause__ or (None if one.__suppress_context__ else one.__context__)


def _fault(fault: BaseException) -> dict[str, Any]:
    frames = traceback.extract_tb(fault.__traceback__)
    said: dict[str, Any] = {
        "fault": f"{type(fault).__module__}.{type(fault).__qualname__}",
        "trace": [f"{one.filename}:{one.lineno} {one.name}" for one in frames],
    }
    if isinstance(fault, _SPOKEN):
        said["words"] = str(fault).split("\n", 1)[0]
    elif isinstance(fault, OSError) and fault.strerror:
        said["words"] = fault.strerror
    return said


class JsonFormatter(logging.Formatter):
    """One JSON object on each line."""

    def format(self, record: logging.LogRecord) -> str:
        return json.dumps(said_by(record), default=str)


class PlainFormatter(logging.Formatter):
    """The same for people."""

    def format(self, record: logging.LogRecord) -> str:
        line = said_by(record)
        faults = line.pop("faults", [])
        head = [line.pop(name) for name in ("at", "level", "message")]
        words = [*head, *(f"{name}={value}" for name, value in line.items())]
        for one in faults:
            words += [f"\n  {one['fault']} {one.get('words', '')}"]
            words += [f"\n    {place}" for place in one["trace"]]
        return " ".join(map(str, words))


def configure(chosen: Mapping[str, str]) -> None:
    """What Django calls at the start: LOGGING names the form."""
    logging.config.dictConfig(configuration(chosen["form"]))


def configuration(form: str) -> dict[str, Any]:
    """`logging`'s own configuration; `form` "json", "plain" or "quiet" (plain, only what went
    wrong). All lines go to standard error."""
    level = "WARNING" if form == "quiet" else "INFO"
    formatter = JsonFormatter if form == "json" else PlainFormatter
    quiet = {"handlers": [], "propagate": False}
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"said": {"()": formatter}},
        "handlers": {"out": {"class": "logging.StreamHandler", "formatter": "said"}},
        "root": {"handlers": ["out"], "level": "WARNING"},
        "loggers": {
            "tailorshop": {"level": level},
            # The request's own line says it; these would name the path.
            "django": {"handlers": [], "level": "WARNING", "propagate": True},
            "django.request": {"level": "ERROR"},
            "django.server": quiet,
            "gunicorn.error": {"handlers": ["out"], "level": level, "propagate": False},
            "gunicorn.access": quiet,
        },
    }
