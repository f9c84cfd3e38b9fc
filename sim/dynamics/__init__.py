"""The compiled solver: flat tables in, histories, peaks, events and audit out. Knows no units, no files, no names."""
