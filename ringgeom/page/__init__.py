"""The bench page: the ring designed on its cut section in a browser on this machine."""
