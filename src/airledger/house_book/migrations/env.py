"""How the migrations run: on the connection that the book hands over, within its transaction."""

from __future__ import annotations

from alembic import context

from airledger.house_book.tables import METADATA

context.configure(connection=context.config.attributes["connection"], target_metadata=METADATA, render_as_batch=True)
with context.begin_transaction():
    context.run_migrations()
