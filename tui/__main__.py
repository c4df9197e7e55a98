"""`python -m tui` is the command, for where its script is not on the path."""

import sys

from tui.main import main

sys.exit(main())
