"""kitchend: a hands-free kitchen colleague that calls a cook's dinner by voice, offline.

`core` decides, `planning` plans, `hearing` and `speaking` turn sound into words and back, `files` reads
plans, `service` joins them and talks to the machine, `rehearsal` lives through a dinner in seconds.
"""

import os

# Read once, when numpy is loaded. Its products here are so small that more threads cost a third more work to
# no one's gain, and hold up whoever else wants the cores.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
