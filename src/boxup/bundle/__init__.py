"""The tube bundle: what a layout holds, what a bend needs."""
