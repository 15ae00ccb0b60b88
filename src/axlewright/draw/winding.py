"""The rear axle of a run seen from its right side, as a moving picture: links, wheel and what turns with the axle."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from matplotlib.animation import PillowWriter
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Circle

from axlewright.draw.axle import axle_of
from axlewright.draw.look import COLOURS, GREY, INK, WIDTH, house_style
from axlewright.errors import RequestError
from axlewright.solve.motion.run import Run

FRAMES, RATE = 60, 15  # pictures, and how many a second: half a second of the event in four
SHOWN = 0.5  # s of the event
HEIGHT = 2.7  # in, of one car
LARGER = 3.0  # what turns and stretches is drawn so many times larger
LINKS = ("drive_link", "brake_link", "upper_link", "upper", "lower_left", "torque_arm", "truck_arm_left", "panhard")


def winding(found: Sequence[tuple[str, Run]], path: str | Path) -> None:
    """Draw the axle winding up to a GIF file, cars and setups one below the other.

    What moves is drawn `LARGER` times as far as it goes. Raises RequestError for cars without an axle.
    """
    with_axle = [(name, run) for name, run in found if run.seen.wind_up]
    if not with_axle:
        raise RequestError("none of these cars has an axle that winds up: there is nothing to animate")
    with house_style():
        picture = Figure(figsize=(WIDTH, HEIGHT * len(with_axle) + 0.5), dpi=100)
        FigureCanvasAgg(picture)
        picture.text(0.02, 1.0 - 0.22 / picture.get_figheight(), with_axle[0][1].event, fontsize=9, weight="bold")
        axes = picture.subplots(len(with_axle), 1, squeeze=False)[:, 0]
        picture.subplots_adjust(0.02, 0.02, 0.98, 1.0 - 0.4 / picture.get_figheight(), hspace=0.12)
        scenes = [_Scene(at, name, run) for at, (name, run) in zip(axes, with_axle, strict=True)]
        writer = PillowWriter(fps=RATE)
        try:
            with writer.saving(picture, str(path), dpi=100):
                for k in range(FRAMES):
                    for scene in scenes:
                        scene.show(scene.begins + SHOWN * k / (FRAMES - 1))
                    writer.grab_frame()
        except OSError as error:
            raise RequestError(f'the animation can\'t be written to "{path}": {error.strerror or error}') from error


class _Scene:
    """One car."""

    def __init__(self, axes, name: str, run: Run) -> None:  # noqa: ANN001
        self.axes, self.run, self.begins = axes, run, run.begins
        self.axle = axle_of(run)
        copy = self.axle.body.split(".")[0]
        self.links = [f"{copy}.{link}" for link in LINKS if f"{copy}.{link}" in self.axle.links]
        self.centre, self.radius = self.axle.centre[0], self.axle.radius
        x, z = self.centre
        axes.set_xlim(x - 0.5, x + 1.15)
        axes.set_ylim(z - self.radius - 0.06, z + 0.52)
        axes.set_aspect("equal")
        axes.axis("off")
        axes.axhline(z - self.radius + 0.01, color=GREY, linewidth=1.0)
        axes.add_patch(Circle((x, z), self.radius, fill=False, edgecolor=GREY, linewidth=1.2))
        self.lines = [
            axes.plot([], [], "-o", color=COLOURS[i % len(COLOURS)], linewidth=2.2, markersize=4,
                      label=path.rsplit(".", 1)[-1].replace("_", " "))[0]
            for i, path in enumerate(self.links)
        ]  # fmt: skip
        self.nose = axes.plot([], [], color=INK, linewidth=3.0, solid_capstyle="round", label="pinion")[0]
        self.words = axes.text(0.01, 0.97, "", transform=axes.transAxes, fontsize=8.5, va="top")
        self.name = name
        axes.legend(loc="upper right", fontsize=7, frameon=False)

    def show(self, time: float) -> None:
        """The car at a time."""
        k = int(np.argmin(np.abs(self.run.time - time)))
        for line, path in zip(self.lines, self.links, strict=True):
            ends, first = self.axle.links[path][k], self.axle.links[path][0]
            at = first + LARGER * (ends - first)
            line.set_data(at[0], at[2])
        wound = float(self.axle.wind_up[k])
        drawn = LARGER * (wound - float(self.axle.wind_up[0]))
        x, z = self.centre
        self.nose.set_data([x, x + 0.3 * np.cos(drawn)], [z, z + 0.3 * np.sin(drawn)])
        since = self.run.time[k] - self.begins
        self.words.set_text(
            f"{self.name}\n{since * 1e3:+.0f} ms   wind-up {np.degrees(wound):.2f} deg (drawn {LARGER:g} x)"
        )
