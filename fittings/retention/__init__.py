"""For how long the shop keeps people's data, and what is past that time. Nothing goes by itself."""
