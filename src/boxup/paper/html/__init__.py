"""The pack as one HTML file: the same sheets as on paper, for a phone without a server."""
