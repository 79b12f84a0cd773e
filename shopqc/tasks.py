"""What the worker does for the shop as a whole."""

from celery import shared_task
from django.utils import timezone

from shopqc import dispatch, files
from shopqc.models import Answered
from shopqc.retention import ANSWERS_KEPT_FOR


@shared_task(name="shopqc.sweep")
def sweep() -> None:
    """Ring again for jobs that wait or whose worker died; forget answers and half files nobody needs."""
    now = timezone.now()
    dispatch.sweep(now)
    files.sweep_pending(now)
    Answered.objects.filter(at__lt=now - ANSWERS_KEPT_FOR).delete()
