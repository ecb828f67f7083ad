"""Many readings of one feature, or of several alike: what follows from them, and what that means. Pure."""
