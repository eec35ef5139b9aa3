"""Numbers into sentences, verdicts and tables. The only layer that rounds."""
