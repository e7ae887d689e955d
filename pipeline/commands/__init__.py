"""What the command does, a module a command: each function takes words already parsed and prints nothing."""
