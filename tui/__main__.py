"""Where the process starts: `loombook`, or `python -m tui` where the script is not on the path.

It imports nothing by itself, so that Ctrl-C while the rest is still being imported ends the process
as quietly as later on.
"""


def main() -> int:
    """Run one command and return its exit status."""
    try:
        from tui.main import main as run

        return run()
    except KeyboardInterrupt:
        return 130  # 128 + SIGINT, as shells count


if __name__ == "__main__":
    raise SystemExit(main())
