"""The data tables of the science; line 1 of each names its source, edition and date."""

import csv
from importlib.resources import files


def rows(name: str) -> list[dict[str, str]]:
    """Read a table as one dictionary of texts a row.

    Parameters: name [a file of this folder]. Raises: FileNotFoundError for any other.
    Source: line 1 of the file.

    >>> rows("month_words.csv")[4]["month"]
    '5'
    """
    text = files(__name__).joinpath(name).read_text("utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
