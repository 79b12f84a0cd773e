"""The worker process: ``celery -A shopqc worker -B``.

Rows are the truth and the broker is only a bell (see ``dispatch``), so that
every broker is safe, also the embedded one that keeps messages as files.
"""

import os
from typing import Any

from celery import Celery
from celery.signals import worker_process_init
from django.conf import settings
from kombu.transport import TRANSPORT_ALIASES

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopqc.settings")

# Messages as files, each of them whole once it can be seen.
TRANSPORT_ALIASES["filesystem"] = "shopqc.file_broker:Transport"
app = Celery("shopqc")
_LEASE = settings.LEASE_FOR.total_seconds()


def _transport_options() -> dict[str, object]:
    if settings.BROKER_URL.startswith("filesystem:"):
        for folder in ("messages", "control"):
            (settings.BROKER_FOLDER / folder).mkdir(parents=True, exist_ok=True)
        messages = str(settings.BROKER_FOLDER / "messages")
        return {
            "data_folder_in": messages,
            "data_folder_out": messages,
            "control_folder": str(settings.BROKER_FOLDER / "control"),
            "polling_interval": 0.1,
        }
    # A silent broker must not hang a request: one second to connect, one to answer.
    return {
        "socket_timeout": 1,
        "socket_connect_timeout": 1,
        "visibility_timeout": max(600, int(_LEASE * 2)),
        "max_retries": 0,
    }


app.conf.update(
    # Folders have no host; kombu warns at every start unless one is named.
    broker_url="filesystem://localhost/"
    if settings.BROKER_URL.startswith("filesystem:")
    else settings.BROKER_URL,
    broker_transport_options=_transport_options(),
    broker_connection_timeout=1,
    broker_connection_retry_on_startup=True,
    task_publish_retry=False,
    task_ignore_result=True,
    task_acks_late=True,
    task_reject_on_worker_lost=True,
    # The task is told shortly before its lease runs out, so that it can still give the job back.
    task_soft_time_limit=_LEASE - min(5.0, _LEASE / 4),
    task_time_limit=_LEASE,
    worker_prefetch_multiplier=1,
    worker_max_tasks_per_child=150,
    # How long a new process may take before it is thought dead; `get_ready` loads the text libraries.
    worker_proc_alive_timeout=60,
    worker_hijack_root_logger=False,
    worker_enable_remote_control=False,
    worker_send_task_events=False,
    beat_schedule_filename=str(settings.HOME / "beat-schedule"),
    beat_schedule={
        "sweep": {"task": "shopqc.sweep", "schedule": settings.SWEEP_EVERY.total_seconds()},
        # Asked often, made once a day: a computer that was off at the hour makes it when it is on again.
        "paper pack": {"task": "housings.paper_pack_tonight", "schedule": 300.0},
        # Also looks often and works seldom: only after a housing has left the station of such a joint.
        "cooling": {"task": "housings.learn_cooling", "schedule": 600.0},
    },
    timezone="UTC",
)
app.autodiscover_tasks(["shopqc", "housings", "inspections"])


@worker_process_init.connect
def get_ready(**_: Any) -> None:
    """After the fork, because text libraries do not all survive one."""
    from shopqc import paper

    paper.warm_up()


# `dispatch` sends through the default application, from whichever thread a request runs in.
app.set_default()
