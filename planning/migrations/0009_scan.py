import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('planning', '0008_steps_to_the_plan'),
        ('uploads', '0002_image_then'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='Scan',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('created_at', models.DateTimeField()),
                ('state', models.CharField(choices=[('received', 'being read'), ('read', 'read'), ('refused', 'not read to its end')], default='received', max_length=8)),
                ('refusal_code', models.CharField(blank=True, max_length=20)),
                ('refusal_values', models.JSONField(default=dict)),
                ('original_name', models.CharField(blank=True, max_length=120, verbose_name='name of the file')),
                ('original_sha256', models.CharField(max_length=64)),
                ('quarantine_file', models.CharField(blank=True, max_length=100)),
                ('stem', models.CharField(max_length=50, unique=True)),
                ('pages', models.PositiveSmallIntegerField(null=True)),
                ('assignment', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='scans', to='planning.assignment')),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ('-created_at', 'pk'),
            },
        ),
        migrations.CreateModel(
            name='ScanPage',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('number', models.PositiveSmallIntegerField()),
                ('state', models.CharField(choices=[('sheet', 'with its student'), ('waiting', 'waits'), ('away', 'put away')], max_length=8)),
                ('why', models.CharField(blank=True, choices=[('no_code', 'no code'), ('unknown', 'unknown code'), ('elsewhere', 'of another studio'), ('not_taught', 'of another class'), ('left', 'left the class'), ('closed', 'account closed'), ('refused', 'not taken'), ('too_long', 'too large a page'), ('too_heavy', 'took too much memory'), ('broken', 'damaged')], max_length=12)),
                ('said', models.CharField(blank=True, max_length=300)),
                ('image', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='uploads.storedimage')),
                ('piece', models.ForeignKey(null=True, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='planning.piece')),
                ('scan', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='read_pages', to='planning.scan')),
                ('sheet', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to='planning.sheet')),
            ],
            options={
                'ordering': ('number',),
            },
        ),
        migrations.AddConstraint(
            model_name='scan',
            constraint=models.UniqueConstraint(models.F('assignment'), models.F('original_sha256'), condition=models.Q(('state', 'refused'), _negated=True), name='scan_once_in_a_project'),
        ),
        migrations.AddConstraint(
            model_name='scan',
            constraint=models.CheckConstraint(condition=models.Q(('state', 'refused'), ('refusal_code', ''), _connector='XOR'), name='scan_refused_with_a_reason'),
        ),
        migrations.AddConstraint(
            model_name='scanpage',
            constraint=models.UniqueConstraint(models.F('scan'), models.F('number'), name='scan_page_once'),
        ),
    ]
