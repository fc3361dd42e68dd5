"""Run the steps on the connection that `configurator.store.connection` hands over.

The caller holds the lock and the transaction, so all steps happen or none.
"""

from alembic import context

from configurator.store.schema import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    version_table=context.config.attributes["version_table"],
    # SQLite takes changes of tables back as well: the connection begins its own transactions.
    transactional_ddl=True,
    render_as_batch=True,
)
context.run_migrations()
