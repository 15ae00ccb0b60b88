"""Comparisons worth looking at: each script prints a table and draws a plot."""
