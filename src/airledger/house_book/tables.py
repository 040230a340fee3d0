"""The tables of a house book. Bytes stand once, under their own hash; everything else points to them."""

from __future__ import annotations

from sqlalchemy import (
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

NAMES = {
    "ix": "ix_%(column_0_label)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
METADATA = MetaData(naming_convention=NAMES)

CONTENTS = Table(
    "contents",
    METADATA,
    Column("sha256", String(64), primary_key=True),
    Column("data", LargeBinary, nullable=False),
)
"""Bytes by their hash."""

HOUSES = Table(
    "houses",
    METADATA,
    Column("id", String(32), primary_key=True),
    Column("name", Text, nullable=False),
    Column("place", Text, nullable=False),
    Column("searched", Text, nullable=False),
    Column("file_name", Text, nullable=False),
    Column("head", Integer, nullable=False),
    Column("faults", Integer, nullable=False),
    Column("waits_for", Text, nullable=False),
    Column("decide_by", String(10), nullable=False),
    Column("made_at", String(32), nullable=False),
    Column("changed_at", String(32), nullable=False),
    Index("ix_houses_decide_by", "decide_by", "name"),
)
"""What a list of houses shows, taken from each one's newest revision. decide_by: a date, or 9999-12-31 for none."""

REVISIONS = Table(
    "revisions",
    METADATA,
    Column("house_id", String(32), ForeignKey("houses.id"), primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("base", Integer, nullable=False),
    Column("made_at", String(32), nullable=False),
    Column("made_by", Text, nullable=False),
    Column("why", Text, nullable=False),
    Column("faults", Integer, nullable=False),
    Column("edit_key", String(64), nullable=True),
    UniqueConstraint("house_id", "edit_key"),
)
"""Every save. edit_key: the sender's own name of it, so that a save sent twice is one."""

FILES = Table(
    "files",
    METADATA,
    Column("house_id", String(32), primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("path", Text, primary_key=True),
    Column("sha256", String(64), ForeignKey("contents.sha256"), nullable=False),
    ForeignKeyConstraint(["house_id", "number"], ["revisions.house_id", "revisions.number"]),
)
"""The files of a revision: the house file and all it refers to."""

READINGS = Table(
    "readings",
    METADATA,
    Column("id", String(64), primary_key=True),
    Column("house_id", String(32), ForeignKey("houses.id"), nullable=False, index=True),
    Column("taken_at", String(32), nullable=False),
    Column("received_at", String(32), nullable=False),
    Column("made_by", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("told", Text, nullable=False),
    Column("sha256", String(64), ForeignKey("contents.sha256"), nullable=True),
)
"""One reading or photo from the site, by the id that the phone gave it."""

RESULTS = Table(
    "results",
    METADATA,
    Column("run_key", String(64), primary_key=True),
    Column("house_id", String(32), ForeignKey("houses.id"), nullable=True, index=True),
    Column("made_at", String(32), nullable=False),
    Column("told", Text, nullable=False),
)
"""What a run found, by its key."""

PEOPLE = Table(
    "people",
    METADATA,
    Column("name", String(80), primary_key=True),
    Column("role", String(16), nullable=False),
    Column("password_hash", Text, nullable=False),
    Column("made_at", String(32), nullable=False),
    Column("ended_at", String(32), nullable=False),
)
"""Who may come in. role: builder, crew or reader; ended_at: nothing while they may."""

ACCESS = Table(
    "access",
    METADATA,
    Column("person", String(80), ForeignKey("people.name"), primary_key=True),
    Column("house_id", String(32), ForeignKey("houses.id"), primary_key=True),
)
"""Which house a person who is no builder may see."""

JOURNAL = Table(
    "journal",
    METADATA,
    Column("place", Integer, primary_key=True, autoincrement=False),
    Column("at", String(32), nullable=False),
    Column("by", Text, nullable=False),
    Column("what", String(40), nullable=False),
    Column("house_id", String(32), nullable=False, index=True),
    Column("told", Text, nullable=False),
    Column("before", String(64), nullable=False),
    Column("hash", String(64), nullable=False),
)
"""Every act in order. hash: over the entry and the hash before it."""

TABLES = (CONTENTS, HOUSES, REVISIONS, FILES, READINGS, RESULTS, PEOPLE, ACCESS, JOURNAL)
"""In an order in which rows may be put back."""
