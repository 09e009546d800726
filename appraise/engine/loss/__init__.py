"""Loss between two states of one instrument: what changed, what it costs to repair, what is lost in value."""
