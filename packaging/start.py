"""Set up everything and run the program: python3 packaging/start.py [observe's arguments].

Without arguments: makes the demo in demo/ and opens the desk on it where there is a screen;
--no-desk leaves the desk closed. Needs Python 3.11 or newer; older ones can read this file far
enough to say so.
"""

import subprocess
import sys

if sys.version_info < (3, 11):  # noqa: UP036 - told to those who have an older one
    sys.stderr.write(
        "Observe needs Python 3.11 or newer; this one is {}.{}.\n".format(*sys.version_info)
    )
    sys.stderr.write("If there is a newer one, use it: python3.11 packaging/start.py\n")
    sys.exit(2)

from setting_up import Environment, Unable, lacking, say, surroundings


def main(arguments: "list[str]") -> int:
    """Set up, then run the program or its main job; returns the exit code."""
    environment = Environment()
    try:
        environment.set_up()
    except Unable as unable:
        say(str(unable))
        return 2
    except KeyboardInterrupt:
        say("Interrupted; start again to finish the set-up.")
        return 130
    if arguments and arguments != ["--no-desk"]:
        return observe(environment, *arguments)
    return main_job(environment, desk=not arguments)


def main_job(environment: Environment, *, desk: bool) -> int:
    """Make the demo once, then open the desk on it where that is possible."""
    demo = environment.root / "demo"
    if (demo / "summary.json").exists():
        say(f"The demo in {demo} is kept; remove that folder to have it made anew.")
    elif demo.exists() and not (demo.is_dir() and not any(demo.iterdir())):
        say(f"{demo} holds no complete demo; remove that folder and start again.")
        return 2
    else:
        say(f"Running an invented workshop into {demo}")
        code = observe(environment, "demo", str(demo))
        if code:
            return code
    return open_desk(environment) if desk else 0


def open_desk(environment: Environment) -> int:
    """Open the desk on the demo's logbook, or say why not and how to do it later."""
    reason = "No screen is attached."
    if surroundings.has_screen():
        reason = lacking(venv=False, window=surroundings.session_window())
    if reason:
        say(f"{reason}\nThe desk stays closed. Later, with a screen: python3 packaging/start.py")
        return 0
    logbook = environment.root / "demo" / "logbook.observe"
    return observe(environment, "--logbook", str(logbook))


def observe(environment: Environment, *arguments: str) -> int:
    """Run the program in its environment, here, with the person's own terminal."""
    # -P: a folder named observe in the current folder must not be taken for the program.
    command = [str(environment.python), "-P", "-m", "observe", *arguments]
    try:
        return subprocess.run(command, check=False).returncode
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
