"""The command line: one file a command. It asks, shows and stores; no physics."""
