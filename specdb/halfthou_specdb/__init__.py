"""The table: units, records, data files, builder and resolver. Imports nothing else of halfthou."""
