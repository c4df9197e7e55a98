"""Where the process starts: `loombook`, or `python -m tui` where the script is not on the path.

It imports next to nothing by itself, so that Ctrl-C while the rest is still being imported ends
the process as quietly as later on.
"""

import gc

OBJECTS_BETWEEN_COLLECTIONS = 50_000
"""The imports of a command make many objects and hardly any garbage: looking through them every
700, as Python does by itself, is a twentieth of what a question takes."""


def main() -> int:
    """Run one command and return its exit status."""
    gc.set_threshold(OBJECTS_BETWEEN_COLLECTIONS, 10, 10)
    try:
        from tui.main import main as run

        return run()
    except KeyboardInterrupt:
        return 130  # 128 + SIGINT, as shells count


if __name__ == "__main__":
    raise SystemExit(main())
