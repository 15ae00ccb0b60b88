"""What a car is: schema, car files, demo cars, and its description as a mechanism. No physics is solved here."""
