"""kitchend: a hands-free kitchen colleague that calls a cook's dinner by voice, offline.

`core` decides, `planning` plans, `hearing` and `speaking` turn sound into words and back, `files` reads
plans, `service` joins them and talks to the machine, `rehearsal` lives through a dinner in seconds.
"""
