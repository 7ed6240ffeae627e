"""What is worked out once for a job is worked out anew for any other."""

from handbarrow.job.remembered import remembered


def test_the_very_same_things_are_not_worked_out_again_and_equal_ones_are() -> None:
    asked: list[str] = []

    @remembered
    def joined(names: tuple[str, ...], sign: str = "+") -> str:
        asked.append(sign)
        return sign.join(names)

    one, equal = ("a", "b"), tuple("ab")
    assert one == equal and one is not equal
    assert joined(one) == joined(one) == "a+b"
    assert asked == ["+"]
    assert joined(equal) == "a+b"
    assert asked == ["+", "+"]  # equal, but another thing: nobody compared what is in it
    assert joined(equal, "-") == joined(equal, sign="*").replace("*", "-") == "a-b"
    assert joined(equal, sign="/") == "a/b"
    assert joined(one) == "a+b"
    assert asked == ["+", "+", "-", "*", "/", "+"]


def test_a_fault_is_not_remembered() -> None:
    tries: list[int] = []

    @remembered
    def fails_once(value: int) -> int:
        tries.append(value)
        if len(tries) == 1:
            raise ValueError("not yet")
        return value

    try:
        fails_once(7)
    except ValueError as fault:
        assert str(fault) == "not yet"
    assert fails_once(7) == 7
    assert tries == [7, 7]
