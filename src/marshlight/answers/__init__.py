"""One function per page or command: notebook rows in, a ready answer out."""
