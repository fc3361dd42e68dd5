"""Save and find jobs, quotations and measurements: the door for everybody else.

Nothing that was saved is ever written over: a job gets another version, a quotation another number.
When a function here returns, what it saved is on the disk.
"""

from configurator.store.addresses import StoreError
from configurator.store.connection import Store, open_store, user
from configurator.store.saved_jobs import (
    EditConflict,
    KeptJob,
    add_job,
    delete_job,
    get_job,
    list_jobs,
    list_versions,
    save_job,
)
from configurator.store.saved_measurements import (
    Measurement,
    Stage,
    add_measurement,
    corrected,
    measurements,
)
from configurator.store.saved_quotations import (
    KeptQuotation,
    Terms,
    add_forced,
    check_start,
    get_quotation,
    keep_anew,
    keep_quotation,
    list_quotations,
)

__all__ = [
    "EditConflict",
    "KeptJob",
    "KeptQuotation",
    "Measurement",
    "Stage",
    "Store",
    "StoreError",
    "Terms",
    "add_forced",
    "add_job",
    "add_measurement",
    "check_start",
    "corrected",
    "delete_job",
    "get_job",
    "get_quotation",
    "keep_anew",
    "keep_quotation",
    "list_jobs",
    "list_quotations",
    "list_versions",
    "measurements",
    "open_store",
    "save_job",
    "user",
]
