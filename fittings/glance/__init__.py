"""The shop at a glance: what the owner wants to know of many garments at once."""
