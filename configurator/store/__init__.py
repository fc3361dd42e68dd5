"""What a workshop keeps: jobs, quotations as they were given, measurements, in a database.

`store` is the door: it saves and finds. `snapshot` writes down a quotation with everything it
rests on, `comparison` says what has changed since, `anew` prices it anew. `addresses` says where
the database is, `opening` opens it, and `migrations` brings its tables up to date.
"""
