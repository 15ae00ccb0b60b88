"""Other words that people search by: what they call a thing, beside what it is called here.

They find, and nothing more: none of them is ever shown as a label. Some began as trade names of parts.
"""

from __future__ import annotations

SEARCH_WORDS: tuple[tuple[tuple[str, ...], str], ...] = (
    (("front bar", "rear bar", "anti-roll bar"), "anti-roll antiroll sway bar roll bar stabiliser stabilizer ARB"),
    (("drop link", "drop-link"), "end link"),
    (("live axle",), "solid axle stick axle beam"),
    (("torque", "wind-up", "pinion angle"), "axle wrap pinion climb"),
    (("drive-side", "brake-side"), "upper link third link top link pull bar lift bar torque link decoupled link"),
    (("lower link",), "trailing arm radius rod control arm four-link"),
    (("watt",), "Watts propeller bellcrank lateral location roll centre"),
    (("panhard",), "track bar J-bar lateral location roll centre"),
    (("damper",), "shock absorber bump rebound clickers clicks"),
    (("perch",), "collar platform spring seat jack coil-over ride height"),
    (("spring",), "coil-over coilover rate"),
    (("cross weight", "diagonal"), "wedge diagonal bite corner balance cross weight"),
    (("balance", "understeer"), "push pushes tight plough understeer oversteer loose free snap"),
    (("hop",), "wheel hop axle hop chatter judder tramp"),
    (("roll centre",), "RC moment centre center"),
    (("anti-squat", "anti-lift", "anti-dive"), "anti-rise antis antisquat antilift antidive"),
    (("axle steer", "roll steer", "axle yaw"), "rear steer skew"),
    (("motion ratio",), "installation ratio leverage"),
    (("load transfer",), "weight transfer roll couple split"),
    (("differential",), "diff posi locker limited-slip LSD"),
    (("camber", "toe", "caster"), "alignment castor wheel angles"),
    (("kingpin",), "KPI SAI"),
    (("tyre load", "load of the inside"), "corner weight wheel load scale weight"),
    (("bump-stop", "bumper", "bump stop"), "bump rubber packer spacer"),
    (("wing", "splitter"), "aero downforce spoiler"),
    (("tyre pressure",), "psi bar air kPa"),
    (("tyre",), "tire rubber"),
    (("spacer",), "track width"),
    (("brake bias",), "brake balance bar"),
    (("final drive",), "gearing ratio crown wheel ring and pinion"),
)
"""(words of ours, what else is searched for): a text that has any of the first is found by each of the second."""


def search_text(*texts: str) -> str:
    """Everything that one thing is found by, in lower case: its own texts and what people call it."""
    own = " ".join(texts).lower()
    other = [words for ours, words in SEARCH_WORDS if any(word in own for word in ours)]
    return " ".join([own, *other]).lower()
