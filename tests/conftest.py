"""For every test: examples that hypothesis draws are not timed, since a busy machine makes any of them slow."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
