"""`python -m axlewright`, the same as the command `axlewright`."""

from __future__ import annotations

from axlewright.cli.main import main

if __name__ == "__main__":
    main()
