"""`python -m sim.command`: the same as `stopload`, where the script is not on the path."""

import sys

from sim.command.main import main

sys.exit(main())
