"""A shop of our own invention, to look at and to try: nobody and nothing in it is real."""
