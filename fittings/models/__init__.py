from fittings.models.acts import Act
from fittings.models.books import (
    BookOrigin,
    BookRow,
    BookStep,
    CarriedIn,
    CustomerBook,
    RowState,
)
from fittings.models.catalogue import ShopFinding
from fittings.models.erasures import Destroyed, Erasure
from fittings.models.errands import UNDER_WAY, AtWork, Errand, ErrandKind, ErrandState
from fittings.models.findable import Findable, FindableKind
from fittings.models.fittings import Decision, Entry, EntryKind, Fitting, Side, Verdict
from fittings.models.health import HealthNote
from fittings.models.kept import Counter, Kept
from fittings.models.makers import Language, LanguageCheck, Maker, PaperSize, PaperUnits
from fittings.models.marks import MarkKind, PhotographMark
from fittings.models.measures import ArmCarriage, Measurement, MeasurementSet, MeasureName
from fittings.models.orders import (
    INLAY_PLACES,
    SLEEVE_PLACES,
    Garment,
    InlayPlace,
    Order,
    OrderInlay,
    Stage,
)
from fittings.models.outcomes import Need, Outcome, ShopFactor, SplitBy
from fittings.models.people import Customer, FigureNote, FigureWord
from fittings.models.photographs import Photograph, PhotographView
from fittings.models.planned import CalendarFeed, PlannedFitting, PlanState
from fittings.models.retention import KeptKind, KeptLonger, RetentionPeriods
from fittings.models.tickets import Ticket, TicketLine
from fittings.models.unsettled import Cause, GarmentOnly, Settled
from fittings.models.workroom import InlayUse, OperationTime, PrintRun, PrintSheet, Question

__all__ = [
    "INLAY_PLACES",
    "SLEEVE_PLACES",
    "UNDER_WAY",
    "Act",
    "ArmCarriage",
    "AtWork",
    "BookOrigin",
    "BookRow",
    "BookStep",
    "CalendarFeed",
    "CarriedIn",
    "Cause",
    "Counter",
    "Customer",
    "CustomerBook",
    "Decision",
    "Destroyed",
    "Entry",
    "EntryKind",
    "Erasure",
    "Errand",
    "ErrandKind",
    "ErrandState",
    "FigureNote",
    "FigureWord",
    "Findable",
    "FindableKind",
    "Fitting",
    "Garment",
    "GarmentOnly",
    "HealthNote",
    "InlayPlace",
    "InlayUse",
    "Kept",
    "KeptKind",
    "KeptLonger",
    "Language",
    "LanguageCheck",
    "Maker",
    "MarkKind",
    "MeasureName",
    "Measurement",
    "MeasurementSet",
    "Need",
    "OperationTime",
    "Order",
    "OrderInlay",
    "Outcome",
    "PaperSize",
    "PaperUnits",
    "Photograph",
    "PhotographMark",
    "PhotographView",
    "PlanState",
    "PlannedFitting",
    "PrintRun",
    "PrintSheet",
    "Question",
    "RetentionPeriods",
    "RowState",
    "Settled",
    "ShopFactor",
    "ShopFinding",
    "Side",
    "SplitBy",
    "Stage",
    "Ticket",
    "TicketLine",
    "Verdict",
]
