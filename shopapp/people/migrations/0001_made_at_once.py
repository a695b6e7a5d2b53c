"""Every table as it is after the steps this one replaces, made at once; a shop that has taken some of them takes the
rest one by one. What those moved was in rows, which a new shop has none of."""

import django.contrib.auth.models
import django.contrib.auth.validators
import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models

from shopapp.common.tables_at_once import CreateModels


class Migration(migrations.Migration):

    replaces = [('people', '0001_initial'), ('people', '0002_who_is_made_is_a_helper'), ('people', '0003_customers_and_recipients'), ('people', '0004_found_by_any_word_and_erased')]

    initial = True

    dependencies = [
        ('auth', '0012_alter_user_first_name_max_length'),
    ]

    operations = [
        CreateModels(
            models=[
                migrations.CreateModel(
                    name='Member',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('password', models.CharField(max_length=128, verbose_name='password')),
                        ('last_login', models.DateTimeField(blank=True, null=True, verbose_name='last login')),
                        ('is_superuser', models.BooleanField(default=False, help_text='Designates that this user has all permissions without explicitly assigning them.', verbose_name='superuser status')),
                        ('username', models.CharField(error_messages={'unique': 'A user with that username already exists.'}, help_text='Required. 150 characters or fewer. Letters, digits and @/./+/-/_ only.', max_length=150, unique=True, validators=[django.contrib.auth.validators.UnicodeUsernameValidator()], verbose_name='username')),
                        ('first_name', models.CharField(blank=True, max_length=150, verbose_name='first name')),
                        ('last_name', models.CharField(blank=True, max_length=150, verbose_name='last name')),
                        ('email', models.EmailField(blank=True, max_length=254, verbose_name='email address')),
                        ('is_staff', models.BooleanField(default=False, help_text='Designates whether the user can log into this admin site.', verbose_name='staff status')),
                        ('is_active', models.BooleanField(default=True, help_text='Designates whether this user should be treated as active. Unselect this instead of deleting accounts.', verbose_name='active')),
                        ('date_joined', models.DateTimeField(default=django.utils.timezone.now, verbose_name='date joined')),
                        ('role', models.CharField(choices=[('owner', 'owner'), ('helper', 'helper')], default='helper', max_length=10)),
                        ('groups', models.ManyToManyField(blank=True, help_text='The groups this user belongs to. A user will get all permissions granted to each of their groups.', related_name='user_set', related_query_name='user', to='auth.group', verbose_name='groups')),
                        ('user_permissions', models.ManyToManyField(blank=True, help_text='Specific permissions for this user.', related_name='user_set', related_query_name='user', to='auth.permission', verbose_name='user permissions')),
                    ],
                    options={
                        'verbose_name': 'user',
                        'verbose_name_plural': 'users',
                        'abstract': False,
                    },
                    managers=[
                        ('objects', django.contrib.auth.models.UserManager()),
                    ],
                ),
                migrations.CreateModel(
                    name='Person',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('created_at', models.DateTimeField(auto_now_add=True)),
                        ('changed_at', models.DateTimeField(auto_now=True)),
                        ('edit_version', models.PositiveIntegerField(default=1)),
                        ('name', models.CharField(max_length=80)),
                        ('address', models.CharField(blank=True, max_length=400)),
                        ('notes', models.CharField(blank=True, max_length=2000)),
                        ('erased_at', models.DateTimeField(null=True)),
                        ('erased_sha256', models.CharField(blank=True, max_length=64)),
                        ('folded', models.TextField(blank=True)),
                    ],
                    options={
                        'ordering': ['name', 'pk'],
                    },
                ),
                migrations.CreateModel(
                    name='Way',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('place', models.PositiveSmallIntegerField()),
                        ('kind', models.CharField(choices=[('mail', 'e-mail'), ('phone', 'phone'), ('other', 'another way')], max_length=5)),
                        ('words', models.CharField(max_length=254)),
                        ('person', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='ways', to='people.person')),
                    ],
                    options={
                        'ordering': ['place', 'pk'],
                    },
                ),
                migrations.CreateModel(
                    name='Erasure',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('at', models.DateTimeField(auto_now_add=True)),
                        ('sha256', models.CharField(max_length=64)),
                        ('gone', models.TextField(blank=True)),
                        ('kept', models.TextField(blank=True)),
                        ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='erasures', to='people.person')),
                        ('who', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                    ],
                    options={
                        'ordering': ['pk'],
                    },
                ),
            ],
        ),
    ]
