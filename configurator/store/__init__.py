"""What a workshop keeps: jobs, quotations as they were given, measurements, in a database.

`access` is the door: it saves and finds. `snapshot` writes down a quotation with everything it
rests on, `comparison` says what has changed since, `repricing` prices it anew. `addresses` says
where the database is, `connection` opens it, and `migrations` brings its tables up to date;
`backup_copies` copies it and puts a copy back.

Imports everything up to `configurator.documents`; the commands and the pages import it.

Begin with `access`.
"""
