"""One mechanism in general-purpose engines, an engine a file: what the package's own kinematics are timed beside.

Each file has a NAME, the distribution that it NEEDS and a `solver(axle)` that returns a function: heights (2, B) of the
wheel centres in m -> `axle.Poses`. Files named `..._transient` follow a torque hit instead: see `hit`.
"""
