"""The reasons of solvers in words, so that every layer above quotes the same sentences."""
