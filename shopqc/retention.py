"""How long things are kept that are not part of the record."""

from datetime import timedelta

# A client that retries for a month has been told in the API's document that the answer is kept that long.
ANSWERS_KEPT_FOR = timedelta(days=30)
