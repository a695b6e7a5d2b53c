"""Every table as it is after the steps this one replaces, made at once; a shop that has taken some of them takes the
rest one by one. What those moved was in rows, which a new shop has none of."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from shopapp.common.tables_at_once import CreateModels


class Migration(migrations.Migration):

    replaces = [('common', '0001_initial'), ('common', '0002_initial'), ('common', '0003_private_links'), ('common', '0004_files_taken_away'), ('common', '0005_letters'), ('common', '0006_words_of_letters')]

    initial = True

    dependencies = [
        ('people', '0001_initial'),
    ]

    operations = [
        CreateModels(
            models=[
                migrations.CreateModel(
                    name='AuditLine',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('at', models.DateTimeField(auto_now_add=True)),
                        ('what', models.CharField(max_length=400)),
                        ('kind', models.CharField(blank=True, max_length=60)),
                        ('key', models.CharField(blank=True, max_length=60)),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'ordering': ['-pk'],
                        'indexes': [models.Index(fields=['kind', 'key'], name='common_audi_kind_6ef6c3_idx')],
                    },
                ),
                migrations.CreateModel(
                    name='SpentKey',
                    fields=[
                        ('key', models.CharField(max_length=64, primary_key=True, serialize=False)),
                        ('at', models.DateTimeField(auto_now_add=True)),
                    ],
                ),
                migrations.CreateModel(
                    name='StoredDocument',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('name', models.CharField(max_length=80, unique=True)),
                        ('sha256', models.CharField(max_length=64)),
                        ('size', models.PositiveIntegerField()),
                        ('stored_at', models.DateTimeField(auto_now_add=True)),
                        ('title', models.CharField(max_length=160)),
                        ('media_type', models.CharField(default='application/pdf', max_length=80)),
                    ],
                    options={
                        'abstract': False,
                    },
                ),
                migrations.CreateModel(
                    name='StoredImage',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('name', models.CharField(max_length=80, unique=True)),
                        ('sha256', models.CharField(max_length=64)),
                        ('size', models.PositiveIntegerField()),
                        ('stored_at', models.DateTimeField(auto_now_add=True)),
                        ('purpose', models.CharField(max_length=40)),
                        ('width', models.PositiveIntegerField()),
                        ('height', models.PositiveIntegerField()),
                    ],
                    options={
                        'abstract': False,
                    },
                ),
                migrations.CreateModel(
                    name='ThrottleBucket',
                    fields=[
                        ('key', models.CharField(max_length=64, primary_key=True, serialize=False)),
                        ('tokens', models.FloatField()),
                        ('counted_at', models.DateTimeField()),
                    ],
                ),
                migrations.CreateModel(
                    name='WorkerBeat',
                    fields=[
                        ('worker', models.CharField(max_length=120, primary_key=True, serialize=False)),
                        ('at', models.DateTimeField()),
                    ],
                ),
                migrations.CreateModel(
                    name='PrivateLink',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('sha256', models.CharField(max_length=64, unique=True)),
                        ('subject', models.CharField(db_index=True, max_length=60)),
                        ('made_at', models.DateTimeField(auto_now_add=True)),
                        ('expires_at', models.DateTimeField()),
                        ('revoked_at', models.DateTimeField(null=True)),
                        ('made_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'ordering': ['-pk'],
                    },
                ),
                migrations.CreateModel(
                    name='TakenAway',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('name', models.CharField(max_length=80, unique=True)),
                        ('at', models.DateTimeField(auto_now_add=True)),
                    ],
                ),
                migrations.CreateModel(
                    name='Letter',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('subject', models.CharField(db_index=True, max_length=60)),
                        ('about', models.CharField(max_length=40)),
                        ('to', models.CharField(max_length=254)),
                        ('asked_at', models.DateTimeField(auto_now_add=True)),
                        ('task', models.CharField(blank=True, max_length=64)),
                        ('begun_at', models.DateTimeField(null=True)),
                        ('sent_at', models.DateTimeField(null=True)),
                        ('failed', models.CharField(blank=True, max_length=400)),
                        ('asked_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('link', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='letters', to='common.privatelink')),
                        ('words', models.CharField(blank=True, max_length=1200)),
                    ],
                    options={
                        'ordering': ['-pk'],
                    },
                ),
            ],
        ),
    ]
