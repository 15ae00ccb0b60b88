"""Plots of readings for a screen and for paper: one kind of picture a file, one look for all of them."""
