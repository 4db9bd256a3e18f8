"""How gunicorn runs the service: threads, graceful reload, bounded requests.

Every value may be set by an environment variable, so that the same file serves a shop's box, a
container and a cluster.
"""

import os

bind = os.environ.get("THREADWRIGHT_BIND", "127.0.0.1:8000")
workers = int(os.environ.get("THREADWRIGHT_WORKERS", str(os.cpu_count() or 1)))
worker_class = "gthread"
threads = int(os.environ.get("THREADWRIGHT_THREADS", "4"))

# A reload (SIGHUP) takes new code because nothing is loaded before the workers start.
preload_app = False
graceful_timeout = int(os.environ.get("THREADWRIGHT_GRACEFUL_TIMEOUT", "30"))
timeout = 30
# Longer than the proxy keeps an idle connection, so that it is never the service that closes one.
keepalive = int(os.environ.get("THREADWRIGHT_KEEPALIVE", "75"))

# Spreadsheet programs put the whole request into the address.
limit_request_line = 8190
limit_request_fields = 60
limit_request_field_size = 8190

max_requests = int(os.environ.get("THREADWRIGHT_MAX_REQUESTS", "200000"))
max_requests_jitter = max_requests // 10

worker_tmp_dir = "/dev/shm"  # noqa: S108 - memory, so that a slow disk never looks like a dead worker
control_socket_disable = True
accesslog = None  # the service writes its own JSON lines, if THREADWRIGHT_ACCESS_LOG=true
errorlog = "-"
loglevel = os.environ.get("THREADWRIGHT_LOG_LEVEL", "warning")


def post_fork(server, worker):  # noqa: ANN001, ANN201
    """Hold each worker to one core: its threads then pass the interpreter's lock cheaply."""
    if os.environ.get("THREADWRIGHT_HOLD_CORES", "true") != "true":
        return
    cores = sorted(os.sched_getaffinity(0))
    if server.cfg.workers <= len(cores):
        os.sched_setaffinity(0, {cores[(worker.age - 1) % len(cores)]})
