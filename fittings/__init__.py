"""The record: people, measures, orders, fittings, tickets."""
