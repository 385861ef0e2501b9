from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True
    operations = [
        migrations.CreateModel(
            name="Cloth",
            fields=[("id", models.BigAutoField(primary_key=True)), ("said", models.TextField())],
        )
    ]
