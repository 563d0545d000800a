"""The judge of sequence: what cannot be true of the vehicle, and what asks for an answer by name."""
