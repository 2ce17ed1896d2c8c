"""python -m hayfuncs.generate [--check]"""

import sys

from hayfuncs.generate.project import main

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
