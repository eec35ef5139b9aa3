"""The engine of a build: what changed, who works it out, and how it is put in place whole."""
