"""The commands, a module each; a new module here is a new command."""
