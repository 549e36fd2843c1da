"""Commands that change how Django treats the notebook."""
