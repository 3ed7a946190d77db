"""The words by which a holding's owner alone finds it, made for what is there already."""

from collections import defaultdict

from django.db import migrations, models

from series.text.folding import fold

BATCH = 500


def fill(apps, schema_editor):
    holding = apps.get_model("catalogue", "Holding")
    parts = defaultdict(list)
    for pk, source, place in holding.objects.values_list("pk", "acquired_from", "place__path"):
        parts[pk] += [source, place or ""]
    lines = apps.get_model("catalogue", "ProvenanceLine").objects.order_by("position", "pk")
    for pk, when, text in lines.values_list("holding", "when", "text"):
        parts[pk] += [when, text]
    kinds = {
        "cleaned": "cleaned", "holed": "holed", "mounted": "mounted", "corroded": "corroded",
        "edge_knock": "edge knock", "scratched": "scratched", "bent": "bent",
        "plugged": "plugged", "tooled": "tooled", "spotted": "spotted",
    }
    problems = apps.get_model("catalogue", "HoldingProblem").objects
    for pk, kind, note in problems.values_list("holding", "kind", "note"):
        parts[pk] += [kinds.get(kind, ""), note]
    rows = [holding(pk=pk, own_text=fold(" ".join(said))) for pk, said in parts.items()]
    holding.objects.bulk_update([row for row in rows if row.own_text], ["own_text"], BATCH)


class Migration(migrations.Migration):
    dependencies = [("catalogue", "0002_observation")]

    operations = [
        migrations.AddField(
            model_name="holding",
            name="own_text",
            field=models.TextField(blank=True, editable=False),
        ),
        migrations.RunPython(fill, migrations.RunPython.noop),
    ]
