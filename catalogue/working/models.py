"""Signs of life of the processes that do the long tasks."""

from __future__ import annotations

from django.db import models


class WorkerBeat(models.Model):
    """When a worker was last alive, by the database's own clock; gone once the worker is."""

    worker_id = models.CharField(max_length=64, primary_key=True)
    beaten_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.worker_id
