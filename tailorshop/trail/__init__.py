"""The trail: who looked at whose data, and who changed what, from what to what."""
