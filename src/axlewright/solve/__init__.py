"""Questions asked of the model: how the car stands, what state it settles into, how far it can be pushed."""
