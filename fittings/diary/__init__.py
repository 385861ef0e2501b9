"""What is planned: fittings and promised dates by day, and as a feed for a calendar."""
