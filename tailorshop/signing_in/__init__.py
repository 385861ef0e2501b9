"""Who somebody is: sign-in, second factor, own sessions, and who is fitting on a shared tablet."""
