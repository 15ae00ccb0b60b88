"""Invented cars that come with the program: `teasel` and `bramble`."""
