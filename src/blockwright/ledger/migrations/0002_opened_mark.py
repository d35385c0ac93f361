"""A mark of whoever opened a book, so that what is sent twice opens one."""

from django.db import migrations, models


class Migration(migrations.Migration):
    """Books."""

    dependencies = [("ledger", "0001_first")]

    operations = [
        migrations.AddField(
            model_name="book",
            name="opened_mark",
            field=models.CharField(default=None, max_length=64, null=True, unique=True),
        ),
    ]
