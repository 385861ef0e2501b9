"""A customer's measures: whether they can be believed, and how they went through the years."""
