"""Photographs from strangers' phones: looked at by their first bytes, decoded in a bounded child process, re-encoded, kept private."""
