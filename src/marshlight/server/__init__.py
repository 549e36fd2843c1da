"""The web face: settings, pages, drawings and charts."""
