"""A worked example: one invented engine, its readings as found, back from the machinist, and at the first start."""
