"""`python -m linerdesign` is the command `linerdesign`."""

from linerdesign.cli.main import main

raise SystemExit(main())
