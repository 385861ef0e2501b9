"""One path, many sinks: screen SVG, ticket, full-scale PDF."""
