"""Invented cars that come with the program, one for each family of layouts; the README says which is which."""
