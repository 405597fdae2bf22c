"""Staff writing the workshop's own versions of explanations: the editor, the history, and the way back. Addresses under /library/."""
