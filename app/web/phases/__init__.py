"""Where the engine is: routes, units and milestones."""
