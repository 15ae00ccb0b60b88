"""Other words that people search by: what they call a thing, beside what it is called here.

They find, and nothing more: none of them is ever shown as a label. Some began as trade names of parts.
"""

from __future__ import annotations

SEARCH_WORDS: tuple[tuple[tuple[str, ...], str], ...] = (
    (("front bar", "rear bar", "anti-roll bar"), "antiroll, sway bar, roll bar, stabiliser, stabilizer, ARB"),
    (("drop link", "drop-link"), "end link"),
    (("live axle",), "solid axle, stick axle, beam"),
    (("torque link", "wind-up", "pinion angle"), "axle wrap, pinion climb"),
    (
        ("drive-side", "brake-side"),
        "upper link, third link, top link, pull bar, lift bar, torque link, decoupled link",
    ),
    (("lower link",), "trailing arm, radius rod, control arm, four-link"),
    (("watt",), "Watts, propeller, bellcrank, lateral location, roll centre"),
    (("panhard",), "track bar, J-bar, lateral location, roll centre"),
    (("rod end", "ball joint"), "heim, rose joint, uniball, spherical bearing"),
    (("bush",), "bushing, silent block"),
    (("damper",), "shock, absorber, bump, rebound, clickers, clicks"),
    (("perch",), "collar, platform, spring seat, jack, coil-over, ride height"),
    (("spring",), "coil-over, coilover, rate"),
    (("cross weight", "diagonal"), "wedge, bite, corner balance"),
    (("balance", "understeer"), "push, pushes, tight, plough, oversteer, loose, free, snap"),
    (("hop",), "wheel hop, axle hop, chatter, judder, tramp"),
    (("roll centre",), "RC, moment centre, center"),
    (("anti-squat", "anti-lift", "anti-dive"), "anti-rise, antis, antisquat, antilift, antidive"),
    (("axle steer", "roll steer", "axle yaw"), "rear steer, skew"),
    (("motion ratio",), "installation ratio, leverage"),
    (("load transfer",), "weight transfer, roll couple split"),
    (("differential",), "diff, posi, locker, LSD"),
    (("camber", "toe", "caster"), "alignment, castor, wheel angles"),
    (("kingpin",), "KPI, SAI"),
    (("centre of mass",), "CG, CoG, centre of gravity"),
    (("tyre load", "load of the inside", "corner weight"), "wheel load, scale weight"),
    (("bump-stop", "bumper", "bump stop"), "bump rubber, packer, spacer"),
    (("wing", "splitter"), "aero, spoiler"),
    (("tyre pressure",), "psi, bar, air, kPa"),
    (("tyre",), "tire, rubber"),
    (("spacer",), "track width"),
    (("brake bias",), "brake balance bar"),
    (("final drive",), "gearing, crown wheel, ring and pinion"),
    (("torque and paint mark",), "lock nut, jam nut"),
    (("entry",), "turn-in"),
    (("mid-corner",), "apex, middle"),
    (("exit",), "corner off"),
)
"""(words of ours, what else is searched for, with commas between): a text that has any of the first is found by each of
the second."""


def search_text(*texts: str) -> str:
    """Everything that one thing is found by, in lower case: its own texts and what people call it."""
    return f"{' '.join(texts)} {other_words(*texts)}".lower()


def other_words(*texts: str) -> str:
    """What people call a thing beside its own texts."""
    own = " ".join(texts).lower()
    return ", ".join(words for ours, words in SEARCH_WORDS if any(word in own for word in ours))
