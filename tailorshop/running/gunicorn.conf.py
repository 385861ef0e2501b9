"""How gunicorn runs the shop: `gunicorn -c tailorshop/running/gunicorn.conf.py tailorshop.wsgi`.

What differs from place to place (address, number of processes) is said on the command line or in
GUNICORN_CMD_ARGS.
"""

import os

from tailorshop.logs import configuration

# Loaded once, before the processes part: they share its memory, and nobody waits for it later.
preload_app = True
worker_class = "gthread"
workers = 2
threads = 4
# A paper of many pages may take some seconds on a small machine; nothing takes half of this.
timeout = 60
graceful_timeout = 30
keepalive = 5
# Now and then each process begins anew, not all at once.
max_requests = 20_000
max_requests_jitter = 2_000
# A line of every request is written by the shop itself, without its path (`tailorshop.logs`).
accesslog = None
# Nobody steers it at run time, and a read-only root has no place for its socket.
control_socket_disable = True
logconfig_dict = configuration(os.environ.get("TAILORSHOP_LOGS", "plain"))


def when_ready(server: object) -> None:
    from tailorshop.loading import load_all

    load_all()
