"""Lakes and clusters: what a lake says beside what a catalogue says, and what becomes of it when things die."""
