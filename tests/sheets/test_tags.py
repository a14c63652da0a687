"""Tags are themselves: two alike are two elements."""

from observe.sheets.tags import Role, Tag


def test_two_tags_of_one_role_are_two() -> None:
    assert Tag(Role.P) != Tag(Role.P)


def test_roles_are_the_standard_ones() -> None:
    """ISO 32000-1, 14.8.4: the names as they are written into a file."""
    standard = "Document H1 H2 H3 P L LI Lbl LBody Table TR TH TD Figure Form Artifact"
    assert {role.value for role in Role} == set(standard.split())
