"""Did it work? Worked corrections, the readings that came after, and what the shop learns."""
