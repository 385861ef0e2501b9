"""What the bench does with issued tickets: ticked, checked, asked about, counted, printed."""
