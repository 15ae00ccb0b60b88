"""The car in motion: started from a held state, driven, steered, sent over a road, and followed through time."""
