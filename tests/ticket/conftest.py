"""A ticket of one line, and who works it."""

import pytest

from fittings.models import Ticket, TicketLine
from tailorshop.models import Role, User
from tests.factories import UserFactory
from tests.ticket.worked import LEFT_FORWARD, issued


@pytest.fixture
def ticket(db: None) -> Ticket:
    return issued(LEFT_FORWARD)


@pytest.fixture
def line(ticket: Ticket) -> TicketLine:
    return ticket.lines.get()


@pytest.fixture
def maker(db: None) -> User:
    made: User = UserFactory(role=Role.WORKROOM, first_name="Piet")
    return made
