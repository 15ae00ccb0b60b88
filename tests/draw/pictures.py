"""Pictures taken apart: what stands on them, where, and what is drawn."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
from matplotlib.figure import Figure
from matplotlib.transforms import Bbox

SVG = "{http://www.w3.org/2000/svg}"
TOUCH = 1.0  # px that boxes of letters may share: their own empty rims


def words_of(path: Path) -> list[str]:
    """Every text of an SVG file, which must be well-formed XML."""
    root = ElementTree.parse(path).getroot()
    assert root.tag == f"{SVG}svg"
    return ["".join(text.itertext()).replace("\u00a0", " ").strip() for text in root.iter(f"{SVG}text")]


def boxes(picture: Figure) -> dict[str, Bbox]:
    """Where the texts stand, px."""
    picture.draw_without_rendering()
    texts = [*picture.texts]
    for axes in picture.axes:
        texts += axes.texts
        for along, (low, high) in ((axes.xaxis, axes.get_xlim()), (axes.yaxis, axes.get_ylim())):
            at = along.get_ticklocs()
            texts += [t for t, place in zip(along.get_ticklabels(), at, strict=True) if low <= place <= high]
    texts = [text for text in texts if text.get_text().strip()]
    return {f"{i}: {text.get_text()}": text.get_window_extent() for i, text in enumerate(texts)}


def overlaps(picture: Figure) -> list[tuple[str, str]]:
    """Texts that run into each other."""
    found = []
    for (one, a), (other, b) in combinations(boxes(picture).items(), 2):
        across, up = min(a.x1, b.x1) - max(a.x0, b.x0), min(a.y1, b.y1) - max(a.y0, b.y0)
        if across > TOUCH and up > TOUCH:
            found.append((one, other))
    return found


def outside(picture: Figure) -> list[str]:
    """Texts that leave the picture."""
    width, height = np.array(picture.get_size_inches()) * picture.dpi
    return [t for t, b in boxes(picture).items() if b.x0 < -TOUCH or b.y0 < -TOUCH or b.x1 > width or b.y1 > height]
