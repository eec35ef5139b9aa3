"""Arithmetic of lenses and frames. Opens no file, reads no clock, imports no other layer."""
