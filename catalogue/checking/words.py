"""What ``check_records`` says of a record that is not right: plain English sentences.

>>> differs("Holding", "grade_rank", [7, 9])
'Holding 7, 9: grade_rank is not what the record says. Mend it with check_records --mend.'
"""

from __future__ import annotations

SHOWN = 10


def differs(kind: str, column: str, numbers: list[int]) -> str:
    shown = ", ".join(str(number) for number in numbers[:SHOWN])
    more = f" and {len(numbers) - SHOWN} more" if len(numbers) > SHOWN else ""
    return (
        f"{kind} {shown}{more}: {column} is not what the record says. "
        "Mend it with check_records --mend."
    )


def names_no_row(kind: str, number: object, column: str, other: object) -> str:
    return f"{kind} {number}: {column} names {other}, which is not there."


def breaks_rule(kind: str, number: object, rule: str) -> str:
    return f"{kind} {number} breaks the rule {rule}."


def twice(kind: str, columns: str, said: str) -> str:
    return f"{kind}: {columns} may stand once, and {said} is there more often."


def too_long(kind: str, number: object, column: str, most: int) -> str:
    return f"{kind} {number}: {column} has more than {most} characters."


def no_choice(kind: str, number: object, column: str, value: object) -> str:
    return f"{kind} {number}: {column} is {value!r}, which is none of its choices."


def out_of_range(kind: str, number: object, column: str, low: int, high: int) -> str:
    return f"{kind} {number}: {column} is not from {low} to {high}."


def file_missing(kind: str, number: object, name: str) -> str:
    return f"{kind} {number}: its file {name} is not in the storage. Put it back from a backup."


def file_altered(kind: str, number: object, name: str) -> str:
    return f"{kind} {number}: its file {name} was altered or damaged. Put it back from a backup."


def file_unreadable(kind: str, number: object, name: str, why: object) -> str:
    return f"{kind} {number}: its file {name} cannot be read: {why}."


def file_of_nobody(name: str) -> str:
    return f"The file {name} belongs to no record. manage.py empty_bin removes it."


def issue_of_another_type(number: int) -> str:
    return f"Holding {number}: its issue is one of another type. Choose the issue again."


def variety_of_another_issue(number: int) -> str:
    return f"Holding {number}: its variety is one of another issue. Choose the variety again."


def place_of_another(kind: str, number: int) -> str:
    return f"{kind} {number}: it stands in a place of another member. Choose the place again."


def place_in_itself(number: int) -> str:
    return f"Place {number} stands in itself. Choose anew what it stands in."


def counted_wrongly() -> str:
    return (
        "The running number of changes is not that of the last change. Mend it with "
        "check_records --mend."
    )


def schedule_changed(number: int) -> str:
    return f"Schedule {number} is not as it was frozen: its digest differs. Restore a backup."


def schedule_added_wrongly(number: int) -> str:
    return f"Schedule {number}: its lines do not add up to its total. Restore a backup."


def damaged(said: str) -> str:
    return f"The database's file is damaged: {said}. Restore a backup."
