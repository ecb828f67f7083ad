"""What readings mean: uncertainty, verdicts, sheets. Pure: no web framework and no serialisation in here."""
