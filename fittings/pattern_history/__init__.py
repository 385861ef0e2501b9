"""The patterns of a customer through the years: what caused each version, and what is unsettled."""
