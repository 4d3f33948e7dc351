"""The fuzzers: they feed the program what nobody would write, and watch what it does with it.

`kind` says what a fuzzer is, `worker` is the process it runs in, `watch` looks after that process,
`rounds` deals out the cases, `finds` keeps what was found.  The rest are the fuzzers themselves.
"""
