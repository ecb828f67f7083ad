"""The service: bench (what readings mean), calculations, http (how you ask)."""
