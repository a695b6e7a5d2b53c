"""Times that run at the bench, begun by one entry and ended by another."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('jobs', '0007_how_its_rows_are_laid'),
        ('plans', '0007_shop_books'),
        ('schedule', '0002_time_log'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='TimerEntry',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('board', models.PositiveSmallIntegerField(default=1)),
                ('kind', models.CharField(choices=[('begun', 'begun'), ('stopped', 'stopped and written down'), ('dropped', 'thrown away')], max_length=8)),
                ('token', models.CharField(max_length=64)),
                ('operation', models.CharField(max_length=40)),
                ('at', models.DateTimeField()),
                ('ends', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='ended_by', to='jobs.timerentry')),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='timer_entries', to='jobs.job')),
                ('time', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='schedule.timeentry')),
                ('timetable', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='plans.kepttimetable')),
                ('who', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'verbose_name_plural': 'timer entries',
                'ordering': ['-pk'],
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('ends__isnull', True), ('kind', 'begun'), ('time__isnull', True)), models.Q(('ends__isnull', False), ('kind', 'stopped'), ('time__isnull', False)), models.Q(('ends__isnull', False), ('kind', 'dropped'), ('time__isnull', True)), _connector='OR'), name='what_ends_a_time_names_it'), models.UniqueConstraint(condition=models.Q(('kind', 'begun')), fields=('token',), name='a_time_is_begun_once')],
            },
        ),
    ]
