"""What befalls a run from outside: killed, interrupted, no room, no permission, files in use, a clock set back."""
