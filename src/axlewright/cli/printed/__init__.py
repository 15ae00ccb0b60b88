"""What the commands that solve print for people; loads the solver."""
