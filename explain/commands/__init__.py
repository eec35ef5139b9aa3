"""The commands: options.py says how each is typed; each other module that `explain --help` names runs one."""
