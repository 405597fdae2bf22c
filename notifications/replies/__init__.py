"""Answers to our letters: where they go, how they are read, and how they come to their job.

road (`mailbox` over IMAP, `providers` by webhook) -> `keeping`: file, then row -> `taking`: robot, report, or a question on its job; or
set aside, with why, for the office. A stranger's message is taken apart in a child process (`child`), bounded in memory and time.

A reply can only ask, or answer our own question. Its sender proves nothing, so it never agrees to anything, and nobody is written to
because of it.
"""
