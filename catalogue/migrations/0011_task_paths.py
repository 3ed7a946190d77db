from django.db import migrations

MOVED = {
    "catalogue.printing.asking.draw_sheet": "catalogue.printing.tasks.draw_sheet",
    "catalogue.identifying.ranked.rank_again": "catalogue.identifying.ranked_again.rank_again",
}


def renamed(paths):
    """Tasks that were asked for before a change of names are still done after it."""

    def rename(apps, schema_editor):
        results = apps.get_model("django_tasks_database", "DBTaskResult").objects
        for old, new in paths.items():
            results.using(schema_editor.connection.alias).filter(task_path=old).update(
                task_path=new
            )

    return rename


class Migration(migrations.Migration):
    dependencies = [
        ("catalogue", "0010_signing_in"),
        ("django_tasks_database", "0001_initial"),
    ]

    operations = [
        migrations.RunPython(renamed(MOVED), renamed({new: old for old, new in MOVED.items()})),
    ]
