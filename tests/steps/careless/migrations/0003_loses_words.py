from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("careless", "0002_careful")]
    operations = [migrations.RemoveField("cloth", "said")]
