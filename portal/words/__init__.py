"""The words of this house in other languages.

Nothing compiled is committed, so nothing compiled can be stale: the settings call `compiling.compiled`, which compiles the
`.po` files into the state folder unless just these were compiled there before. A fresh clone, a test, a worker and a server
behind a proxy all say what the `.po` files say when they start, and nobody needs GNU gettext.
"""
