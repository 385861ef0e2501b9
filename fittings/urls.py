"""Addresses of the record."""

from django.urls import path

from fittings.views import (
    bench,
    by_hand,
    catalogue,
    changes,
    comparing,
    consents,
    customers,
    drafting,
    figure,
    fitting_decisions,
    fitting_findings,
    fitting_room,
    glance,
    makers,
    marking,
    measures,
    measures_trend,
    measuring,
    orders,
    outcomes,
    own_settings,
    pattern_choice,
    pattern_history,
    photographs,
    printing,
    questions,
    tickets,
    today,
    together,
    unsettled,
)

urlpatterns = [
    path("", today.today, name="today"),
    path("settings/", own_settings.own_settings, name="own-settings"),
    # customers
    path("customers/", customers.customer_list, name="customer-list"),
    path("customers/new/", customers.customer_new, name="customer-new"),
    path("customers/<int:pk>/", customers.customer, name="customer"),
    path("customers/<int:pk>/edit/", customers.customer_edit, name="customer-edit"),
    path("customers/<int:pk>/figure/new/", figure.figure_note_new, name="figure-note-new"),
    path(
        "customers/<int:pk>/figure/<int:note>/remove/",
        figure.figure_note_remove,
        name="figure-note-remove",
    ),
    path(
        "customers/<int:pk>/patterns/", pattern_history.customer_patterns, name="customer-patterns"
    ),
    path(
        "customers/<int:pk>/patterns/<int:version>/start/",
        pattern_history.pattern_start,
        name="pattern-start",
    ),
    path("customers/<int:pk>/arms/", figure.carriage_edit, name="carriage-edit"),
    path("customers/<int:pk>/measures/new/", measures.measures_new, name="measures-new"),
    path("customers/<int:pk>/measures/", measures_trend.measures_trend, name="measures-trend"),
    path(
        "customers/<int:pk>/measures/plot.svg", measures_trend.measures_plot, name="measures-plot"
    ),
    path("measures/<int:pk>/", measures.measures, name="measures"),
    path("measures/<int:pk>/edit/", measures.measures_edit, name="measures-edit"),
    # the shop at a glance, and what it learns from what came
    path("shop/", glance.glance, name="glance"),
    path("shop/plots/<slug:name>.svg", glance.glance_plot, name="glance-plot"),
    path("shop/tables/<slug:name>.csv", glance.glance_csv, name="glance-csv"),
    path("shop/month.pdf", glance.glance_month, name="glance-month"),
    path("shop/factors/", outcomes.shop_factors, name="shop-factors"),
    path("shop/factors/accept/", outcomes.shop_factor_accept, name="shop-factor-accept"),
    path(
        "shop/factors/<int:pk>/withdraw/",
        outcomes.shop_factor_withdraw,
        name="shop-factor-withdraw",
    ),
    # orders
    path("orders/", orders.order_list, name="order-list"),
    path("customers/<int:pk>/orders/new/", orders.order_new, name="order-new"),
    path("orders/<int:pk>/", orders.order, name="order"),
    path("orders/<int:pk>/edit/", orders.order_edit, name="order-edit"),
    path("orders/<int:pk>/inlays/", orders.order_inlays, name="order-inlays"),
    path("orders/<int:pk>/pattern/new/", pattern_choice.pattern_new, name="pattern-new"),
    path(
        "patterns-branch/<int:pk>/<int:number>/",
        pattern_choice.pattern_branch,
        name="pattern-branch",
    ),
    path("orders/<int:pk>/garment-only/new/", unsettled.garment_only_new, name="garment-only-new"),
    path("garment-only/<int:pk>/", unsettled.garment_only, name="garment-only"),
    # the shop's findings
    path("findings/", catalogue.shop_findings, name="shop-findings"),
    path("findings/new/", catalogue.shop_finding_new, name="shop-finding-new"),
    path("findings/<str:rule>/", catalogue.shop_finding_edit, name="shop-finding-edit"),
    path("findings/<str:rule>/reset/", catalogue.shop_finding_reset, name="shop-finding-reset"),
    # fittings
    path("orders/<int:pk>/fittings/new/", fitting_room.fitting_new, name="fitting-new"),
    path("fittings/<int:pk>/", fitting_room.fitting, name="fitting"),
    path("fittings/<int:pk>/entries/", fitting_room.entry, name="fitting-entry"),
    path(
        "fittings/<int:pk>/entries/<uuid:entry>/remove/",
        fitting_room.entry_remove,
        name="fitting-entry-remove",
    ),
    path("fittings/<int:pk>/preview/", by_hand.fitting_preview, name="fitting-preview"),
    path("fittings/<int:pk>/decisions/", fitting_decisions.decision, name="fitting-decision"),
    path("fittings/<int:pk>/accept/", fitting_decisions.accept_all, name="fitting-accept-all"),
    path("fittings/<int:pk>/findings/", fitting_findings.finding, name="fitting-finding"),
    path("fittings/<int:pk>/undo/", fitting_findings.fitting_undo, name="fitting-undo"),
    path("fittings/<int:pk>/history/", fitting_findings.fitting_history, name="fitting-history"),
    path("fittings/<int:pk>/together/", together.fitting_together, name="fitting-together"),
    path("fittings/<int:pk>/changes/", changes.fitting_changes, name="fitting-changes"),
    path("fittings/<int:pk>/sign/", fitting_room.sign, name="fitting-sign"),
    path("fittings/<int:pk>/ticket/", fitting_room.fitting_ticket, name="fitting-ticket"),
    # photographs and what was agreed to
    path("fittings/<int:pk>/photographs/", photographs.photograph_new, name="photograph-new"),
    path("fittings/photographs/<uuid:pk>/", photographs.photograph, name="photograph"),
    path(
        "fittings/photographs/<uuid:pk>/small/",
        photographs.photograph_thumb,
        name="photograph-thumb",
    ),
    path(
        "fittings/photographs/<uuid:pk>/change/",
        photographs.photograph_change,
        name="photograph-change",
    ),
    path(
        "fittings/photographs/<uuid:pk>/measure/",
        measuring.photograph_measure,
        name="photograph-measure",
    ),
    path(
        "fittings/photographs/<uuid:pk>/carriage/",
        measuring.photograph_carriage,
        name="photograph-carriage",
    ),
    path(
        "fittings/photographs/<uuid:pk>/marks/", marking.photograph_marks, name="photograph-marks"
    ),
    path(
        "fittings/photographs/<uuid:pk>/marks/<uuid:mark>/remove/",
        marking.photograph_mark_remove,
        name="photograph-mark-remove",
    ),
    path(
        "fittings/photographs/<uuid:pk>/compare/",
        comparing.photograph_compare,
        name="photograph-compare",
    ),
    path("fittings/<int:pk>/consents/", consents.fitting_consent, name="fitting-consent"),
    path("customers/<int:pk>/consents/", consents.customer_consent, name="customer-consent"),
    path(
        "customers/<int:pk>/photographs/erase/",
        consents.photographs_erase,
        name="photographs-erase",
    ),
    # tickets
    path("tickets/", tickets.ticket_list, name="ticket-list"),
    path("tickets/<str:number>/<int:revision>/", tickets.ticket, name="ticket"),
    path("tickets/<str:number>/<int:revision>/paper.pdf", tickets.ticket_pdf, name="ticket-pdf"),
    path(
        "tickets/<str:number>/<int:revision>/lines/<int:position>/",
        tickets.ticket_line,
        name="ticket-line",
    ),
    path(
        "tickets/<str:number>/<int:revision>/reissue/",
        tickets.ticket_reissue,
        name="ticket-reissue",
    ),
    path(
        "tickets/<str:number>/<int:revision>/photographs/<int:position>/<str:size>/",
        photographs.ticket_photograph,
        name="ticket-photograph",
    ),
    path("t/<str:number>/<int:revision>/", tickets.ticket_code, name="ticket-code"),
    # the bench
    path(
        "tickets/<str:number>/<int:revision>/lines/<int:position>/ask/",
        questions.ticket_ask,
        name="ticket-ask",
    ),
    path("bench/", bench.bench, name="bench"),
    path("bench/minutes/", bench.times, name="times"),
    path("bench/makers/", makers.maker_list, name="maker-list"),
    path("bench/makers/new/", makers.maker_new, name="maker-new"),
    path("bench/makers/<int:pk>/", makers.maker_edit, name="maker-edit"),
    path("bench/print/", printing.print_run_new, name="print-run-new"),
    path("bench/print/<int:pk>/", printing.print_run, name="print-run"),
    path("bench/print/<int:pk>/next/", printing.print_run_next, name="print-run-next"),
    path("bench/print/<int:pk>/tickets.pdf", printing.print_run_pdf, name="print-run-pdf"),
    path("questions/", questions.question_list, name="question-list"),
    path("questions/<int:pk>/answer/", questions.question_answer, name="question-answer"),
    path("patterns/<int:pk>/<int:number>/draft/", drafting.pattern_draft, name="pattern-draft"),
]
