"""One file per page: take the request, ask `answers`, render the template of the same stem."""
