"""What the API says about people, classes and dates."""

from rest_framework import serializers

from studio.people.models import Enrolment, Meeting, Section, Studio, User


class StudioSerializer(serializers.ModelSerializer[Studio]):
    class Meta:
        model = Studio
        fields = ("id", "name", "slug", "time_zone", "length_unit", "mass_unit", "paper")


class MeSerializer(serializers.ModelSerializer[User]):
    studio = StudioSerializer(allow_null=True)

    class Meta:
        model = User
        fields = ("id", "username", "given_name", "family_name", "role", "studio")


class ClassSerializer(serializers.ModelSerializer[Section]):
    class Meta:
        model = Section
        fields = ("id", "title", "code", "sourced_id", "starts_on", "ends_on", "archived")


class MeetingSerializer(serializers.ModelSerializer[Meeting]):
    class Meta:
        model = Meeting
        fields = ("id", "on", "note", "cancelled")


class NewMeetingSerializer(serializers.Serializer[Meeting]):
    on = serializers.DateField()
    note = serializers.CharField(max_length=200, allow_blank=True, default="")


class MeetingChangeSerializer(serializers.Serializer[Meeting]):
    """Whatever is left out stays as it is."""

    on = serializers.DateField(required=False)
    note = serializers.CharField(max_length=200, allow_blank=True, required=False)
    cancelled = serializers.BooleanField(required=False)


class StudentSerializer(serializers.ModelSerializer[User]):
    class Meta:
        model = User
        fields = ("id", "given_name", "family_name", "username", "sourced_id")


class EnrolmentSerializer(serializers.ModelSerializer[Enrolment]):
    student = StudentSerializer()

    class Meta:
        model = Enrolment
        fields = ("student", "joined_on", "left_on")
