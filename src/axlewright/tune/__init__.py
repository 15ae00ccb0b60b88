"""Questions about setups: adjusters applied to a car, their effects, and what is put right afterwards."""
