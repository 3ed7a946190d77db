"""Which tables a backup carries, in the order in which they can be put back.

All tables of the site are carried, but for those that ``LEFT_OUT`` names with a reason; a new model
needs nothing here. The tables are those of the release that the database is at, which is told from
the migrations that were applied to it: so a backup can be made before the site is brought up to
date, and an older one can be put back.
"""

from __future__ import annotations

from collections.abc import Iterable

from django.apps.registry import Apps
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader
from django.db.models import Model

LEFT_OUT = {
    "auth": "groups and rights of Django, which this site does not use",
    "axes": "failed sign-ins",
    "contenttypes": "made by Django for each database; nothing of ours refers to them",
    "django_tasks_database": "queued tasks; what a task was to do is asked for again",
    "sessions": "who is signed in",
    "catalogue.broughtarchive": "archives on their way in, of which members have the file",
    "catalogue.handedlink": "links that are good once, to join or to set a password",
    "catalogue.device": "the cookies of browsers in which somebody signed in",
    "catalogue.tally": "how often something was tried that is slowed down",
    "catalogue.workerbeat": "which workers are alive",
    "catalogue.change": "the running number of changes, which a restored site begins anew",
    "catalogue.changecounter": "the running number of changes, which a restored site begins anew",
}
"""An app, or a model of one, and why its rows are in no backup."""

Node = tuple[str, str]


def is_left_out(model: type[Model]) -> bool:
    return model._meta.app_label in LEFT_OUT or model._meta.label_lower in LEFT_OUT


def carried(apps: Apps) -> list[type[Model]]:
    """The models whose rows are carried, each after those that its rows name, as far as can be."""
    waiting = sorted(
        (
            model
            for model in apps.get_models(include_auto_created=True)
            if model._meta.managed and not model._meta.proxy and not is_left_out(model)
        ),
        key=lambda model: model._meta.label_lower,
    )
    ordered: list[type[Model]] = []
    while waiting:
        first = next((m for m in waiting if not _named_by(m) & set(waiting) - {m}), waiting[0])
        waiting.remove(first)
        ordered.append(first)
    return ordered


def _named_by(model: type[Model]) -> set[type[Model]]:
    return {
        field.related_model
        for field in model._meta.concrete_fields
        if field.is_relation and isinstance(field.related_model, type)
    }


def applied(connection: BaseDatabaseWrapper) -> list[Node]:
    """The migrations that were applied to a database, of those that this release knows."""
    loader = MigrationLoader(connection)
    return sorted(node for node in loader.applied_migrations if node in loader.graph.nodes)


def apps_at(connection: BaseDatabaseWrapper, nodes: Iterable[Node]) -> Apps:
    """The models as they are once these migrations are applied."""
    loader = MigrationExecutor(connection).loader
    apps: Apps = loader.project_state(list(nodes)).apps
    return apps


def unknown(nodes: Iterable[Node]) -> list[Node]:
    """Those of these migrations that this release does not know."""
    known = MigrationLoader(None).graph.nodes
    return sorted(node for node in nodes if node not in known)


def latest(nodes: Iterable[Node]) -> list[Node]:
    """The last of these migrations of each app."""
    graph = MigrationLoader(None).graph
    given = set(nodes)
    return sorted(
        node
        for node in given
        if not any(
            child.key in given and child.key[0] == node[0]
            for child in graph.node_map[node].children
        )
    )
