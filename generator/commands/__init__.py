"""The verbs of the command line that run several rooms in order."""
