"""An invented shop: its input files, and the one command that runs them through the real doors."""
