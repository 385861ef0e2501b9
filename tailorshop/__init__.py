"""The project: settings, addresses, roles, and what wraps the whole."""
