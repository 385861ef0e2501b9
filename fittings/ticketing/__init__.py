"""The work ticket of a fitting: issued once, reissued as a further revision."""
