"""Every form of the table of openers is there to be opened, by an action that there is."""

from importlib import import_module

import pytest

from gridjig.qt.action_list import action
from gridjig.qt.forms import openers


@pytest.mark.parametrize("action_id", openers.openers())
def test_an_action_opens_a_form_that_there_is(action_id: str) -> None:
    assert action(action_id).opens
    module, function = openers._FORMS[action_id]
    assert callable(getattr(import_module(f"gridjig.qt.forms.{module}"), function))
