"""`make chaos`: a thousand letters while workers, broker and mail server fail in every way that we could think of.

Everything is real: the database, Valkey, two Celery workers, beat, an SMTP server that keeps what it accepts as files. At the end those
files and the database have to agree: nothing lost, one identity for each letter, a second copy only where SMTP could not tell.
Only waits are shortened (due dates in rows are moved to now); no clock is touched and nothing is called in place of a worker.
"""
