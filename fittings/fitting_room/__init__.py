"""What is said at a fitting: entered, taken back, answered by proposals, decided."""
