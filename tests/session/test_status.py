from gridjig.session.status import Status


def test_whoever_listens_hears_each_new_line_once_until_it_ends() -> None:
    status, heard = Status(), list[str]()
    assert status.text == ""
    end = status.subscribe(heard.append)
    status.say("one")
    status.say("one")
    status.say("two")
    assert (status.text, heard) == ("two", ["one", "two"])
    end()
    end()
    status.say("three")
    assert (status.text, heard) == ("three", ["one", "two"])
