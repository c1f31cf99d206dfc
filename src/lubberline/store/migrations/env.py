"""What the migration library runs for every command: our connection, our tables.

The caller has begun the transaction and will end it, so nothing here commits.
"""

from alembic import context

from lubberline.store.schema import Base

if __name__ == "env_py":  # the library's name for this file; an import alone does nothing
    context.configure(
        connection=context.config.attributes["connection"],
        target_metadata=Base.metadata,
        render_as_batch=True,
    )
    context.run_migrations()
