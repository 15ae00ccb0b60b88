"""Numbers and sentences for people, the same in the terminal, on the page and on paper: one subject a file."""
