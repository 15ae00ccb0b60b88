"""What the page of cars in motion shows, as data: setups side by side, plots, readings, and the axle as it moves."""
