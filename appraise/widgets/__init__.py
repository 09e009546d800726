"""The parts screens are made of; what they draw depends on their arguments alone."""
