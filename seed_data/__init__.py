"""An invented shop's book, shipped as documents: vehicles, kits, amplifiers, jobs, a file each.

Promise: `documents()` hands out every shipped file, in one fixed order, from wherever the package
is installed. It stands alone because it is data: it reads nothing, checks nothing and imports
nothing of ours. All makers, vehicles and products in it are invented.
"""

from importlib.resources import files
from importlib.resources.abc import Traversable

FOLDERS = ("vehicles", "kits", "amplifiers", "jobs")


def documents() -> list[Traversable]:
    """All shipped documents, folder by folder in the order of `FOLDERS`, by file name within each.

    Jobs come last because they name entries of the other three kinds.
    """
    root = files(__name__)
    return [
        document
        for folder in FOLDERS
        for document in sorted(root.joinpath(folder).iterdir(), key=lambda found: found.name)
        if document.name.endswith(".toml")
    ]
