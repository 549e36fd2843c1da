"""Commands of the notebook."""
