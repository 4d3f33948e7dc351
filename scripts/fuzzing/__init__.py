"""The fuzzers: they feed the program input that nobody would write, and watch what it does.

`kind` says what a fuzzer is, `worker` is the process it runs in, `watch` supervises that process,
`rounds` distributes the cases, `finds` keeps what was found.  The rest are the fuzzers themselves.
"""
