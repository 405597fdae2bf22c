"""Words as directions of meaning: static embeddings of 256 numbers, read from the two data files that the wordllama wheel carries.

wordllama's own loader looks on the network, so it is never imported: safetensors reads the weights (32,000 x 256, half
precision, 16 MB), tokenizers the vocabulary. Loaded at the first search of a process, in about 0.2 s. Where the wheel is not
installed (it is built for some Pythons only) `available` is False, and the search goes by words alone.
"""

import logging
import os
from functools import cache
from importlib.metadata import PackageNotFoundError, files
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from tokenizers import Tokenizer

WEIGHTS = "l2_supercat_256.safetensors"
VOCABULARY = "l2_supercat_tokenizer_config.json"
DIMENSIONS = 256

Vectors = NDArray[np.float32]
log = logging.getLogger(__name__)


def available() -> bool:
    """Whether words can be compared by meaning here."""
    return _model() is not None


def vectors(texts: list[str]) -> Vectors:
    """One row of length 1 for each text (len(texts) x 256); all zeros for a text without words, or where nothing is `available`."""
    found = np.zeros((len(texts), DIMENSIONS), np.float32)
    model = _model()
    if model is None or not texts:
        return found
    tokenizer, weights = model
    for row, encoded in enumerate(tokenizer.encode_batch(texts, add_special_tokens=False)):
        if encoded.ids:
            found[row] = weights[encoded.ids].astype(np.float32).mean(axis=0)
    lengths = np.linalg.norm(found, axis=1, keepdims=True)
    return np.asarray(found / np.maximum(lengths, 1e-9), np.float32)


@cache
def _model() -> "tuple[Tokenizer, NDArray[np.float16]] | None":
    try:
        # Here and not above: most processes never search.
        from safetensors.numpy import load_file
        from tokenizers import Tokenizer

        # A few hundred short texts need no threads of its own, which do not survive a fork.
        os.environ.setdefault("TOKENIZERS_PARALLELISM", "false")
        places = {file.name: str(Path(str(file.locate()))) for file in files("wordllama") or []}
        weights = load_file(places[WEIGHTS])["embedding.weight"]
        tokenizer = Tokenizer.from_file(places[VOCABULARY])
    except (ImportError, PackageNotFoundError, KeyError, OSError) as error:
        log.warning("The library's search goes by words alone: %r", error)
        return None
    tokenizer.no_padding()
    tokenizer.no_truncation()
    return tokenizer, weights
