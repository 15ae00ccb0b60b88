"""The command `axlewright bench` in a process of its own, as a person starts it: nothing of the tests slows it."""

from __future__ import annotations

import re
import signal
import subprocess
import sys

ENDS = 30.0  # s for a process to end; it waits two for open pages


class Running:
    """The command in a process of its own, as a person starts it."""

    def __init__(self, car: str, *options: str) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-u", "-m", "axlewright", "bench", car, "--port", "0", *options],
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, encoding="utf-8",
        )  # fmt: skip
        self.said = ""
        assert self.process.stdout is not None
        while "Ctrl-C ends it" not in self.said:
            line = self.process.stdout.readline()
            assert line, self.said
            self.said += line

    @property
    def address(self) -> str:
        found = re.search(r"http://127\.0\.0\.1:\d+", self.said)
        assert found, self.said
        return found[0]

    def end(self) -> tuple[int, str]:
        """Ctrl-C: the exit code, and what was said at last."""
        self.process.send_signal(signal.SIGINT)
        last, _ = self.process.communicate(timeout=ENDS)
        return self.process.returncode, last

    def kill(self) -> None:
        """End it whatever it does."""
        if self.process.poll() is None:
            self.process.kill()
            self.process.communicate()
