"""Commands round the life of a page: each module adds one to the command line and runs it."""
