"""Every table as it is after the steps this one replaces, made at once; a shop that has taken some of them takes the
rest one by one. What those moved was in rows, which a new shop has none of."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from shopapp.common.tables_at_once import CreateModels


class Migration(migrations.Migration):

    replaces = [('schedule', '0001_initial'), ('schedule', '0002_time_log')]

    initial = True

    dependencies = [
        ('people', '0001_initial'),
    ]

    operations = [
        CreateModels(
            models=[
                migrations.CreateModel(
                    name='Booking',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('label', models.CharField(max_length=160)),
                        ('key', models.CharField(db_index=True, max_length=60)),
                        ('on', models.DateField(db_index=True)),
                        ('starts', models.PositiveSmallIntegerField()),
                        ('ends', models.PositiveSmallIntegerField()),
                        ('words', models.CharField(blank=True, max_length=200)),
                        ('made_at', models.DateTimeField(auto_now_add=True)),
                    ],
                    options={
                        'ordering': ['on', 'starts', 'pk'],
                        'constraints': [models.CheckConstraint(condition=models.Q(('ends__lte', 1440), ('starts__lt', models.F('ends'))), name='booking_within_a_day')],
                    },
                ),
                migrations.CreateModel(
                    name='SessionException',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('created_at', models.DateTimeField(auto_now_add=True)),
                        ('changed_at', models.DateTimeField(auto_now=True)),
                        ('edit_version', models.PositiveIntegerField(default=1)),
                        ('first', models.DateField()),
                        ('last', models.DateField()),
                        ('starts', models.PositiveSmallIntegerField(null=True)),
                        ('ends', models.PositiveSmallIntegerField(null=True)),
                        ('people', models.PositiveSmallIntegerField(default=1)),
                        ('reason', models.CharField(blank=True, max_length=120)),
                    ],
                    options={
                        'ordering': ['first', 'starts', 'pk'],
                        'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('ends__isnull', True), ('starts__isnull', True)), models.Q(('ends__lte', 1440), ('starts__lt', models.F('ends'))), _connector='OR'), name='other_hours_within_a_day'), models.CheckConstraint(condition=models.Q(('first__lte', models.F('last')), ('people__gte', 1)), name='different_days_in_order')],
                    },
                ),
                migrations.CreateModel(
                    name='ShopSession',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('created_at', models.DateTimeField(auto_now_add=True)),
                        ('changed_at', models.DateTimeField(auto_now=True)),
                        ('edit_version', models.PositiveIntegerField(default=1)),
                        ('weekday', models.PositiveSmallIntegerField(choices=[(0, 'Monday'), (1, 'Tuesday'), (2, 'Wednesday'), (3, 'Thursday'), (4, 'Friday'), (5, 'Saturday'), (6, 'Sunday')])),
                        ('starts', models.PositiveSmallIntegerField()),
                        ('ends', models.PositiveSmallIntegerField()),
                        ('people', models.PositiveSmallIntegerField(default=1)),
                        ('who', models.CharField(blank=True, max_length=80)),
                    ],
                    options={
                        'ordering': ['weekday', 'starts', 'pk'],
                        'constraints': [models.CheckConstraint(condition=models.Q(('ends__lte', 1440), ('starts__lt', models.F('ends'))), name='session_within_a_day'), models.CheckConstraint(condition=models.Q(('people__gte', 1), ('weekday__lte', 6)), name='session_of_somebody')],
                    },
                ),
                migrations.CreateModel(
                    name='TimeEntry',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('key', models.CharField(max_length=80)),
                        ('label', models.CharField(max_length=120)),
                        ('kind', models.CharField(choices=[('worked', 'worked'), ('done', 'said to be done'), ('taken back', 'taken back')], default='worked', max_length=10)),
                        ('operation', models.CharField(max_length=40)),
                        ('on', models.DateField()),
                        ('minutes', models.PositiveIntegerField()),
                        ('count', models.CharField(blank=True, max_length=40)),
                        ('finishes', models.BooleanField(default=False)),
                        ('planned', models.JSONField(default=dict)),
                        ('note', models.CharField(blank=True, max_length=120)),
                        ('at', models.DateTimeField(auto_now_add=True)),
                        ('by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('mends', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='mended_by', to='schedule.timeentry')),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'verbose_name_plural': 'time entries',
                        'ordering': ['-pk'],
                        'indexes': [models.Index(fields=['key'], name='schedule_ti_key_8b2654_idx')],
                        'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('kind', 'worked'), ('minutes__gt', 0)), models.Q(('finishes', True), ('kind', 'done'), ('minutes', 0)), models.Q(('kind', 'taken back'), ('mends__isnull', False), ('minutes', 0)), _connector='OR'), name='time_of_work_that_was_done')],
                    },
                ),
            ],
        ),
    ]
