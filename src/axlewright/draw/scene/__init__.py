"""Where every part of a car is in a state, as points and lines for whoever draws it: no picture is made here."""

from axlewright.draw.scene.drawing import drawing as drawing
from axlewright.draw.scene.shapes import Drawing as Drawing
