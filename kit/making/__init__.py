"""Making: what the shop needs, as rows of data. No ink is laid here."""
