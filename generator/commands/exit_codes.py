"""The exit codes of the command."""

DONE, FAULTS, WRONG_COMMAND, LACKING, TESTS_FAILED, NOT_BUILT = range(6)
STOPPED = 130  # by Ctrl+C, as shells have it
IN_WORDS = (
    "0 done, 1 faults in the knowledge base, 2 wrong command line, 3 the machine lacks something, "
    "4 tests failed, 5 the site could not be built, 130 stopped"
)
