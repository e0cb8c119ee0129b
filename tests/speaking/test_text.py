import pytest

from kitchend.speaking.text import speakable


@pytest.mark.parametrize(
    ("given", "spoken"),
    [
        pytest.param("The loaf is up.", "The loaf is up.", id="plain words stay"),
        pytest.param("  two \n lines\t", "two lines", id="one line"),
        pytest.param("one\0two\x1b[3m", "one two 3m", id="control characters"),
        pytest.param("[[h@'loU]] <break/> {x}", "h@'loU break/ x", id="markup"),
        pytest.param("?! ...", "", id="no words"),
        pytest.param("", "", id="nothing"),
        pytest.param("crème, 20 °C", "crème, 20 °C", id="accents and signs stay"),
    ],
)
def test_what_an_engine_might_obey_or_choke_on_is_left_out(given: str, spoken: str) -> None:
    assert speakable(given) == spoken
