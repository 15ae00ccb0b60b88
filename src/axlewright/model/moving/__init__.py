"""The same car in motion: bodies with inertia, turning wheels, tyres that lag, elements that stick and slip.

Links, joints, springs, bars, tyres and torques are those of the held model; what is added is what only motion has. With
nothing moving but the car along its path the accelerations are those that the held state was asked for.
"""
