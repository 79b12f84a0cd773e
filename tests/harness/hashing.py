"""Argon2 with the least work it takes: tests hash many secrets, and real processes can check them."""

from django.contrib.auth.hashers import Argon2PasswordHasher


class QuickArgon2(Argon2PasswordHasher):
    """The same format as the real one, so that a web process of the tests reads it."""

    time_cost, memory_cost, parallelism = 1, 8, 1
