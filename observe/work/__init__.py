"""What the program does, without a window: called by the desk, the command line and the tests."""
