"""Where each engine and gearbox is: units, routes, milestones, and on which side of them a thing belongs."""
