"""The first tables of the ledger."""

import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models

import blockwright.ledger.models.book


class Migration(migrations.Migration):
    """Books, events, attachments, people."""

    initial = True

    dependencies = [
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Attachment",
            fields=[
                ("digest", models.CharField(max_length=64, primary_key=True, serialize=False)),
                ("media_type", models.CharField(max_length=80)),
                ("size", models.PositiveIntegerField()),
                ("content", models.BinaryField()),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Book",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("slug", models.CharField(default=blockwright.ledger.models.book.new_slug, max_length=12, unique=True)),
                ("title", models.CharField(max_length=200)),
                ("opened_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("head_number", models.PositiveIntegerField(default=0)),
                ("head_digest", models.CharField(blank=True, default="", max_length=64)),
                ("archived", models.BooleanField(default=False)),
            ],
            options={
                "ordering": ["-opened_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Hand",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=80, unique=True)),
                ("is_owner", models.BooleanField(default=False)),
                ("pin_hash", models.CharField(blank=True, default="", max_length=200)),
                ("pin_tries", models.PositiveSmallIntegerField(default=0)),
                ("locked_until", models.DateTimeField(blank=True, null=True)),
                (
                    "user",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT, related_name="hand", to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
            options={
                "ordering": ["name"],
            },
        ),
        migrations.CreateModel(
            name="ApiToken",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=80)),
                ("token_digest", models.CharField(max_length=64, unique=True)),
                ("may_write", models.BooleanField(default=False)),
                ("created_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                (
                    "hand",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="tokens", to="ledger.hand"
                    ),
                ),
            ],
            options={
                "ordering": ["created_at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="OneTimeCode",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("door", models.CharField(max_length=20)),
                ("code_digest", models.CharField(max_length=64, unique=True)),
                ("name", models.CharField(blank=True, default="", max_length=80)),
                ("until", models.DateTimeField()),
                ("used_at", models.DateTimeField(blank=True, null=True)),
                (
                    "for_hand",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="codes",
                        to="ledger.hand",
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="codes_made",
                        to="ledger.hand",
                    ),
                ),
            ],
            options={
                "ordering": ["-until"],
            },
        ),
        migrations.CreateModel(
            name="Tablet",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=80)),
                ("token_digest", models.CharField(max_length=64, unique=True)),
                ("paired_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                (
                    "paired_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="tablets", to="ledger.hand"
                    ),
                ),
            ],
            options={
                "ordering": ["name", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Try",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("door", models.CharField(max_length=20)),
                ("who", models.CharField(max_length=120)),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                ("worked", models.BooleanField(default=False)),
            ],
            options={
                "ordering": ["-at"],
                "indexes": [models.Index(fields=["door", "who", "at"], name="tries_lately")],
            },
        ),
        migrations.CreateModel(
            name="BookAttachment",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=200)),
                (
                    "book",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="attachments", to="ledger.book"
                    ),
                ),
                (
                    "digest",
                    models.ForeignKey(
                        db_column="digest",
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="books",
                        to="ledger.attachment",
                    ),
                ),
            ],
            options={
                "ordering": ["book_id", "name"],
                "constraints": [models.UniqueConstraint(fields=("book", "name"), name="one_file_a_name")],
            },
        ),
        migrations.CreateModel(
            name="EventRow",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("number", models.PositiveIntegerField()),
                ("kind", models.CharField(max_length=60)),
                ("at", models.CharField(max_length=40)),
                ("by", models.CharField(max_length=200)),
                ("key", models.CharField(max_length=200)),
                ("body", models.TextField()),
                ("before", models.CharField(blank=True, max_length=64)),
                ("digest", models.CharField(max_length=64)),
                (
                    "book",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="events", to="ledger.book"
                    ),
                ),
            ],
            options={
                "ordering": ["book_id", "number"],
                "constraints": [
                    models.UniqueConstraint(fields=("book", "number"), name="one_event_a_number"),
                    models.UniqueConstraint(fields=("book", "key"), name="one_event_a_key"),
                    models.CheckConstraint(condition=models.Q(("number__gte", 1)), name="events_from_one"),
                ],
            },
        ),
        migrations.CreateModel(
            name="Seat",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("role", models.PositiveSmallIntegerField()),
                (
                    "book",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="seats", to="ledger.book"
                    ),
                ),
                (
                    "hand",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="seats", to="ledger.hand"
                    ),
                ),
            ],
            options={
                "ordering": ["book_id", "hand_id"],
                "constraints": [models.UniqueConstraint(fields=("book", "hand"), name="one_seat_a_hand")],
            },
        ),
    ]
