"""Figures of speed, side by side in one run, as ratios: `make bench` says how."""
