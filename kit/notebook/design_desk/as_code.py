"""A design as a plain cell of code, for those who want it."""

from kit.design_file import parse


def as_code(text: str) -> str:
    """Python that holds a design file, builds it and checks it; run, it gives the same design.

    Raises DesignFileError for a text that is no design.
    """
    parse(text)
    # what would end the string, or be read as something else in it
    safe = text.replace("\\", "\\\\").replace('"""', '\\"\\"\\"')
    if safe.endswith('"'):
        safe = safe[:-1] + '\\"'
    return (
        "import kit\n\n"
        f'design_text = """\\\n{safe}"""\n'
        "casework = kit.build(kit.parse(design_text))\n"
        "report = kit.check(casework)\n"
        "print(report.tally)\n"
    )
