"""What the linkage page asks: the choices of a car, one pose or state drawn, and readings through travel."""
